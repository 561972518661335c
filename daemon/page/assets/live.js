import { call } from './api.js';

/** The live views of all stills, and whether they are of now. */

/** Without a word for so long the connection counts as lost [ms]; the daemon says something every two seconds. */
const silentMs = 6500;
/** An engine that has not looked at its still for so long is silent [s]. */
const engineSilentS = 8;

/**
 * @typedef {object} Link
 * @property {'connecting' | 'live' | 'lost'} state
 * @property {number} heardAtMs wall time of the last word
 * @property {Record<string, number>} quietS seconds since the engine looked at each still
 */

export function createLive() {
  /** @type {Map<string, import('../views').StillView>} */
  const stills = new Map();
  /** @type {readonly string[]} */
  let order = [];
  /** @type {Link} */
  const link = { state: 'connecting', heardAtMs: 0, quietS: {} };
  /** @type {Set<() => void>} */
  const listeners = new Set();
  /** @type {EventSource | null} */
  let stream = null;
  let retryMs = 1000;
  let openedAtMs = Date.now();

  const tell = () => {
    for (const listener of listeners) listener();
  };
  const heard = () => {
    link.heardAtMs = Date.now();
    link.state = 'live';
    retryMs = 1000;
  };
  /** @param {string} name @param {(body: any) => void} take */
  const on = (name, take) =>
    stream?.addEventListener(name, (event) => {
      heard();
      take(JSON.parse(event.data));
      tell();
    });

  const open = () => {
    stream?.close();
    openedAtMs = Date.now();
    stream = new EventSource('api/live');
    on('stills', (/** @type {readonly string[]} */ ids) => {
      order = ids;
      for (const id of stills.keys()) if (!ids.includes(id)) stills.delete(id);
    });
    on('still', (/** @type {import('../views').StillView} */ view) => {
      stills.set(view.id, view);
      link.quietS[view.id] = 0;
    });
    on('beat', (/** @type {{ quietS: Record<string, number> }} */ beat) => {
      link.quietS = beat.quietS;
    });
    stream.onerror = () => {
      if (stream?.readyState !== EventSource.CLOSED) return;
      // Refused, not broken: full, or logged out. The browser does not try again by itself.
      void again();
    };
  };

  const again = async () => {
    try {
      const { isIn } = await call('session');
      if (!isIn) {
        dispatchEvent(new Event('logged-out'));
        return;
      }
    } catch {
      // Not even that: it is tried again.
    }
    setTimeout(() => stream !== null && open(), retryMs);
    retryMs = Math.min(15_000, retryMs * 2);
  };

  const watch = () => {
    if (stream === null) return;
    const before = link.state;
    const silentForMs = Date.now() - Math.max(link.heardAtMs, link.state === 'live' ? 0 : openedAtMs);
    if (silentForMs > silentMs) link.state = 'lost';
    if (before !== link.state || link.state === 'lost') tell();
    // A connection that hangs without an error is opened anew.
    if (link.state === 'lost' && Date.now() - openedAtMs > 20_000 && stream.readyState !== EventSource.CLOSED) open();
  };
  setInterval(watch, 1000);
  // A phone that slept shows at once that what it shows is old.
  document.addEventListener('visibilitychange', watch);

  return {
    stills,
    link,
    get order() {
      return order;
    },
    open,
    close() {
      stream?.close();
      stream = null;
    },
    /** @param {string} still */
    isOld: (still) => link.state !== 'live' || (link.quietS[still] ?? 0) > engineSilentS,
    /** @param {() => void} listener */
    listen(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

/** @typedef {ReturnType<typeof createLive>} Live */
