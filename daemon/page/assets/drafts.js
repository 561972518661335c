import { call, Refused } from './api.js';
import { ownName } from './orders.js';

/**
 * What is typed is kept on this device at once, and saved at the daemon as it is typed. It leaves the device only when the
 * daemon has it on its disk. A part is one document of a sheet: a jar, a tasting, what the sheet is about.
 *
 * @typedef {{ sheet: string, path: 'about' | 'jar' | 'tasting', extra: Record<string, unknown> }} Place
 * @typedef {{ place: Place, from: number, change: Record<string, unknown>, tried?: Record<string, unknown[]> }} Draft
 * @typedef {{ revision: number, savedAt: string | null, content: Record<string, any> }} Saved
 * @typedef {{ kind: 'clean' } | { kind: 'saved', at: string } | { kind: 'waiting' } | { kind: 'saving' }
 *   | { kind: 'wrong', why: string } | { kind: 'conflict', theirs: Record<string, unknown> }} State
 */

const prefix = 'middlecut-draft/';
const pauseMs = 700;
const longestRetryMs = 30_000;
const mostTried = 20;

/** A field taken away is not there. @param {unknown} a @param {unknown} b */
const isSame = (a, b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);

/** @type {Map<string, Part>} */
const parts = new Map();
/** @type {Set<() => void>} */
const listeners = new Set();
const storage = { works: true };

/** @param {Place} place */
const keyOf = ({ sheet, path, extra }) => `${prefix}${sheet}/${path}/${JSON.stringify(extra)}`;

function tell() {
  for (const listener of listeners) listener();
}

/** @param {() => void} listener */
export function onDrafts(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** How much of a sheet is not saved yet, and whether this browser keeps drafts at all. @param {string} sheet */
export function unsaved(sheet) {
  let count = 0;
  for (const part of parts.values()) if (part.place.sheet === sheet) count += Object.keys(part.change).length;
  return { count, isKept: storage.works };
}

/** The one writer of a part. @param {Place} place */
export function partOf(place) {
  const key = keyOf(place);
  const known = parts.get(key);
  if (known !== undefined) return known;
  const part = new Part(place);
  parts.set(key, part);
  return part;
}

/** Drafts an earlier page left behind are saved too, whether their sheet is open or not. */
export function takeUpDrafts() {
  try {
    for (const key of Object.keys(localStorage)) {
      if (key.startsWith(prefix)) partOf(JSON.parse(localStorage.getItem(key) ?? '{}').place);
    }
  } catch {
    storage.works = false;
  }
}

class Part {
  /** @param {Place} place */
  constructor(place) {
    this.place = place;
    /** @type {Saved} */
    this.saved = { revision: 0, savedAt: null, content: {} };
    /** @type {Record<string, unknown>} */
    this.change = {};
    this.from = 0;
    /** What was sent and perhaps arrived, though no answer did. @type {Record<string, unknown[]>} */
    this.tried = {};
    /** @type {State} */
    this.state = { kind: 'clean' };
    this.isBusy = false;
    this.retryMs = 2000;
    this.timer = 0;
    this.takeUp();
  }

  takeUp() {
    try {
      const kept = localStorage.getItem(keyOf(this.place));
      if (kept === null) return;
      /** @type {Draft} */
      const draft = JSON.parse(kept);
      this.change = draft.change;
      this.from = draft.from;
      this.tried = draft.tried ?? {};
      this.state = { kind: 'waiting' };
      this.later(0);
    } catch {
      storage.works = false;
    }
  }

  /** What a field holds: as typed, else as saved. @param {string} field */
  value(field) {
    return Object.hasOwn(this.change, field) ? this.change[field] : this.saved.content[field];
  }

  /** @param {string} field */
  isWaiting(field) {
    return Object.hasOwn(this.change, field);
  }

  /** The daemon's newest word; what is typed here stays. @param {Saved} saved */
  sync(saved) {
    if (saved.revision < this.saved.revision || this.isBusy) return;
    this.saved = saved;
  }

  /** @param {string} field @param {unknown} value null takes it away */
  set(field, value) {
    if (Object.keys(this.change).length === 0) this.from = this.saved.revision;
    this.change[field] = value;
    this.state = { kind: 'waiting' };
    this.keep();
    this.later(pauseMs);
    tell();
  }

  /** @returns {Draft} */
  draft() {
    return { place: this.place, from: this.from, change: this.change, tried: this.tried };
  }

  keep() {
    try {
      const key = keyOf(this.place);
      if (Object.keys(this.change).length === 0) localStorage.removeItem(key);
      else localStorage.setItem(key, JSON.stringify(this.draft()));
      storage.works = true;
    } catch {
      storage.works = false;
    }
  }

  /** @param {number} afterMs */
  later(afterMs) {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.save(), afterMs);
  }

  async save(keepalive = false) {
    clearTimeout(this.timer);
    if (this.isBusy || Object.keys(this.change).length === 0 || this.state.kind === 'conflict') return;
    const sent = { ...this.change };
    this.isBusy = true;
    this.state = { kind: 'saving' };
    for (const [field, value] of Object.entries(sent)) {
      this.tried[field] = [...(this.tried[field] ?? []), value].slice(-mostTried);
    }
    this.keep();
    const by = ownName();
    const body = { ...this.place.extra, from: this.from, change: sent, ...(by === '' ? {} : { by }) };
    const path = `sheets/${encodeURIComponent(this.place.sheet)}/${this.place.path}`;
    try {
      this.done(await call(path, body, { keepalive }), sent);
    } catch (error) {
      this.failed(error);
    }
    this.isBusy = false;
    tell();
  }

  /** @param {Saved} saved @param {Record<string, unknown>} sent */
  done(saved, sent) {
    this.saved = saved;
    this.from = saved.revision;
    this.retryMs = 2000;
    this.tried = {};
    // What was typed on meanwhile is not saved yet.
    for (const [field, value] of Object.entries(sent)) if (this.change[field] === value) delete this.change[field];
    this.keep();
    const isMore = Object.keys(this.change).length > 0;
    this.state = isMore ? { kind: 'waiting' } : { kind: 'saved', at: saved.savedAt ?? '' };
    if (isMore) this.later(pauseMs);
  }

  /** @param {unknown} error */
  failed(error) {
    const status = error instanceof Refused ? error.status : 0;
    if (error instanceof Refused && status === 409) {
      const { now, fields } = /** @type {{ now: Saved, fields: readonly string[] }} */ (error.body);
      // Our own words, saved before the answer was lost, are no conflict: go on from there.
      const isOurs = fields.every((field) => (this.tried[field] ?? []).some((one) => isSame(one, now.content[field])));
      this.saved = now;
      if (isOurs) {
        this.from = now.revision;
        this.state = { kind: 'waiting' };
        this.later(0);
      } else this.state = { kind: 'conflict', theirs: now.content };
    } else if (status === 400 || status === 413) {
      this.state = { kind: 'wrong', why: String(/** @type {Error} */ (error).message) };
    } else {
      this.state = { kind: 'waiting' };
      this.later(this.retryMs);
      this.retryMs = Math.min(longestRetryMs, this.retryMs * 2);
    }
  }

  /** A person has chosen between two texts. @param {boolean} mine */
  settle(mine) {
    this.from = this.saved.revision;
    if (!mine) this.change = {};
    this.state = mine ? { kind: 'waiting' } : { kind: 'clean' };
    this.keep();
    if (mine) void this.save();
    tell();
  }
}

/** @typedef {InstanceType<typeof Part>} SheetPart */

const flush = () => {
  for (const part of parts.values()) void part.save(true);
};
addEventListener('pagehide', flush);
addEventListener('online', flush);
document.addEventListener('visibilitychange', () => {
  if (document.visibilityState === 'hidden') flush();
});
