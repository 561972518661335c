import { pearSpirit } from '../../simulators/scenarios';
import type { FlowNode } from './node-red-host';
import { smallPot } from './small-still';

/** A still config node of a small pot, at a speed. */
export const stillNode = (id: string, speed: number): FlowNode => ({
  id: `still-${id}`,
  type: 'middlecut-still',
  source: 'typed',
  document: JSON.stringify({ ...smallPot, id }),
  language: 'en',
  temperature: 'C',
  speed,
});

export const recipeNode: FlowNode = {
  id: 'recipe',
  type: 'middlecut-recipe',
  source: 'typed',
  document: JSON.stringify(pearSpirit),
};

const node = (z: string, id: string, type: string, more: Record<string, unknown>): FlowNode => ({
  id,
  type,
  z,
  x: 100,
  y: 100,
  wires: [],
  ...more,
});

/** A way into a flow from a test: what is posted to the path arrives at a node as a message. */
export function letterbox(z: string, path: string, target: string): FlowNode[] {
  return [
    node(z, `in-${path}`, 'http in', { url: `/to/${path}`, method: 'post', wires: [[`ok-${path}`, `unpack-${path}`]] }),
    node(z, `ok-${path}`, 'http response', { x: 250, y: 60 }),
    // JSON cannot carry everything that a flow can: some messages are made where they are sent.
    node(z, `unpack-${path}`, 'function', {
      x: 250,
      outputs: 1,
      wires: [[target]],
      func: 'const { message, make } = msg.payload;\nreturn make ? eval(make) : message;',
    }),
  ];
}

function runNode(z: string, id: string, more: Record<string, unknown>): FlowNode {
  return node(z, `run-${id}`, 'middlecut-run', {
    name: id,
    still: `still-${id}`,
    recipe: 'recipe',
    variant: 'white',
    chargeL: 18,
    chargeVolPercent: 29,
    readings: [],
    timeProperty: 'timestamp',
    timeType: 'msg',
    commands: [],
    ordersFrom: 'still',
    onClose: 'safe',
    stateEveryS: 1,
    x: 400,
    ...more,
  });
}

/** A run node with a place to put messages in and debug nodes on every output. */
export function stillOnTab(id: string, speed: number, simulated: boolean): FlowNode[] {
  const z = `tab-${id}`;
  const debug = (name: string, complete = 'true') =>
    node(z, `${name}-${id}`, 'debug', { name, active: true, tosidebar: true, console: false, complete, x: 700 });
  const wires = [
    [`drives-${id}`, `last-${id}`, ...(simulated ? [`sim-${id}`] : [])],
    [`phase-${id}`],
    [`alarms-${id}`],
    [`events-${id}`],
    [`state-${id}`],
  ];
  const simulation = { still: `still-${id}`, chargeL: 18, chargeVolPercent: 29, seed: 4, wires: [[`run-${id}`], []] };
  return [
    { id: z, type: 'tab', label: id },
    stillNode(id, speed),
    ...letterbox(z, id, `run-${id}`),
    ...(simulated ? [node(z, `sim-${id}`, 'middlecut-simulated-still', simulation)] : []),
    runNode(z, id, { wires }),
    debug('drives'),
    debug('phase', 'payload'),
    debug('alarms', 'payload'),
    debug('events', 'payload'),
    debug('state', 'payload'),
    // A node wired straight to the commands: what it logs it has really received.
    node(z, `last-${id}`, 'function', {
      outputs: 0,
      func: "node.log('TOLD ' + msg.drive + '=' + msg.payload + ' ' + msg.reason);",
    }),
    node(z, `catch-${id}`, 'catch', { scope: [`run-${id}`], wires: [[`caught-${id}`]] }),
    debug('caught', 'error.message'),
  ];
}

/**
 * A flood made inside Node-RED: posted to `/flood`, it sends 10 000 messages a second down a link for as long as asked, of
 * all points and with some rubbish among them, and answers with the lag of the event loop meanwhile: as it was, and
 * without the time for which another program had the core.
 */
export function floodOnTab(link: string): FlowNode[] {
  const z = 'tab-flood';
  const func = `const lag = global.get('lag'); const waitedMs = global.get('waitedMs');
lag.reset(); let sent = 0; const begun = Date.now();
let last = Date.now(); let waited = waitedMs(); let ownMax = 0;
const { seconds, blockMs = 0 } = msg.payload; const all = seconds * 10000; let blocked = blockMs === 0;
const points = ['vapour-temp', 'boiler-temp', 'air-pressure', 'product-temp', 'rubbish'];
const timer = setInterval(() => {
  const now = Date.now(); const queued = waitedMs();
  ownMax = Math.max(ownMax, now - last - 10 - (queued - waited));
  last = now; waited = queued;
  const due = Math.min(all, Math.floor((Date.now() - begun) * 10));
  for (; sent < due; sent += 1) {
    const topic = points[sent % 5];
    node.send([{ topic, payload: topic === 'air-pressure' ? 964 : 78 + Math.sin(sent / 1000) }, null]);
  }
  if (!blocked && sent > all / 2) {
    blocked = true;
    const before = waitedMs();
    for (const from = Date.now(); Date.now() - from - (waitedMs() - before) < blockMs; );
  }
  if (sent < all) return;
  clearInterval(timer);
  const ms = (value) => Math.round(value / 1e4) / 100;
  setTimeout(() => node.send([null, { ...msg, payload: {
    sent, seconds: (Date.now() - begun) / 1000, meanMs: ms(lag.mean), p99Ms: ms(lag.percentile(99)), maxMs: ms(lag.max),
    ownMaxMs: ms(ownMax * 1e6),
  } }]), 100);
}, 10);
return null;`;
  return [
    { id: z, type: 'tab', label: 'flood' },
    node(z, 'flood-in', 'http in', { url: '/flood', method: 'post', wires: [['flood']] }),
    node(z, 'flood', 'function', { x: 250, outputs: 2, func, wires: [['link'], ['flood-out']] }),
    node(z, 'link', 'link out', { x: 400, mode: 'link', links: [link] }),
    node(z, 'flood-out', 'http response', { x: 400, y: 160 }),
  ];
}

/** Where a flood ends: a node of a tab, by a link. */
export const floodEnd = (z: string, id: string, target: string): FlowNode =>
  node(z, id, 'link in', { links: ['link'], wires: [[target]] });
