import { join } from 'node:path';
import type { Node, NodeAPI, NodeDef, NodeMessage } from 'node-red';
import type { Order, Reason } from '../../lib/engine/types';
import { showProblem } from '../../lib/problems';
import type { Still } from '../../lib/still/schema';
import { english, languages, type Saying, sayReason } from '../../lib/words';
import { createStillClock } from './clock';
import { isStillNode, type StillNode } from './config-nodes';
import { createIntake } from './intake';
import { keepInFile, type Loaded } from './keep';
import { type CommandRow, commandRowProblems, type OutMessage } from './messages-out';
import { nodeTimers, pulse } from './pulse';
import { compileRows, type ReadingRow } from './reading-rows';
import { createSession, type Offer, type Saved } from './session';
import { createStation, type Host, type Station } from './station';
import { sayTrouble, type Trouble, trouble } from './troubles';

/** What run and watch have in common in their settings. */
export interface StationDef extends NodeDef {
  readonly still?: string;
  readonly readings?: readonly ReadingRow[];
  readonly timeProperty?: string;
  readonly timeType?: 'msg' | 'none';
  readonly stateEveryS?: string | number;
}

export interface StationOptions {
  readonly watchOnly: boolean;
  readonly commands: readonly CommandRow[];
  readonly from: Order['from'];
  /** Say nothing to the drives when the node goes. */
  readonly quietAtClose: boolean;
  readonly offer: () => Offer;
  readonly recipe: (document: unknown) => Trouble | null;
  /** Whether what a run under way began with is still what is configured. */
  readonly isSame: (saved: Saved) => boolean;
  /** The order of the outputs. */
  readonly outputs: readonly ('drives' | 'phase' | 'alarms' | 'events' | 'state')[];
}

const wallMs = () => Date.now();

/** Everything wrong with the tables of a node, one line each. */
function tableProblems(def: StationDef, options: StationOptions, still: Still): string[] {
  const rows = compileRows(def.readings ?? [], still);
  return [
    ...(rows.kind === 'bad' ? rows.problems.map(showProblem) : []),
    ...commandRowProblems(options.commands, still),
  ];
}

/** The words of Node-RED itself, for a node without a still to take them from. */
function hostSaying(RED: NodeAPI): Saying {
  const { lang } = RED.settings as { readonly lang?: string };
  const code = (lang ?? process.env.LANG ?? '').slice(0, 2);
  return { ...english, language: languages[code] ?? english.language };
}

/** Says on the node, and in the log and to Catch, why it cannot work. */
function giveUp(node: Node, saying: Saying, code: string, numbers: Reason['numbers'], text?: string): null {
  node.status({ fill: 'red', shape: 'ring', text: sayReason({ code: `${code}.short`, numbers: {} }, saying) });
  node.error(text ?? sayReason({ code, numbers }, saying));
  return null;
}

/** The still a node is for; says on the node what is wrong where there is none to be used. */
export function stillOf(RED: NodeAPI, node: Node, id: string | undefined): StillNode | null {
  const found = id === undefined || id === '' ? null : RED.nodes.getNode(id);
  if (!isStillNode(found)) return giveUp(node, hostSaying(RED), 'node.no-still', {});
  if (found.checked.value !== null) return found;
  return giveUp(node, found.saying, 'node.still-bad', { why: found.checked.problems.map(showProblem).join(' ') });
}

function loadSaved(loaded: Loaded, node: Node, language: string): Saved | null {
  if (loaded.kind === 'bad') node.warn(sayTrouble(trouble('saved-unreadable', '', { why: loaded.why }), language));
  return loaded.kind === 'ok' ? loaded.saved : null;
}

/** Sets a station to work under a node. */
export function workStation(RED: NodeAPI, node: Node, def: StationDef, options: StationOptions): void {
  const stillNode = stillOf(RED, node, def.still);
  const still = stillNode?.checked.value ?? null;
  if (stillNode === null || still === null) return;
  const problems = tableProblems(def, options, still);
  const rows = compileRows(def.readings ?? [], still);
  const { saying, speed } = stillNode;
  if (problems.length > 0 || rows.kind === 'bad') {
    giveUp(node, saying, 'node.settings-bad', {}, problems.join(' '));
    return;
  }
  const other = options.watchOnly ? null : stillNode.claim(node.id, node.name ?? node.id);
  if (other !== null) {
    giveUp(node, saying, 'node.still-taken', { target: still.id, by: other });
    return;
  }
  const keep = keepInFile(join(RED.settings.userDir ?? '.', 'middlecut'), `node-${node.id}`);
  const saved = loadSaved(keep.load(), node, saying.language.code);
  if (saved !== null && !options.isSame(saved)) node.warn(sayTrouble(trouble('copy-kept', ''), saying.language.code));
  const session = createSession(
    {
      still,
      watchOnly: options.watchOnly,
      intake: createIntake(still, rows.value, def.timeType === 'none' ? null : (def.timeProperty ?? 'timestamp')),
      from: options.from,
      offer: options.offer,
    },
    saved,
  );
  const station = createStation({
    session,
    clock: createStillClock(speed, session.run.now, pulse.clock(speed), wallMs),
    monotonicMs: nodeTimers.nowMs,
    wallMs,
    keep,
    pulse,
    commands: options.commands,
    saying,
    watchOnly: options.watchOnly,
    stateEveryS: Number(def.stateEveryS) > 0 ? Number(def.stateEveryS) : 5,
    host: hostOf(node, options),
  });
  node.on('input', (message, _send, done) => station.take(message, done));
  nodeTimers.soon(() => station.beat());
  sayFarewell(RED, node, station, () => stillNode.release(node.id), options);
}

function hostOf(node: Node, options: StationOptions): Host {
  return {
    send: (said) => {
      const messages = options.outputs.map((output) => {
        const one = said[output];
        return one === undefined ? null : ([one].flat() as NodeMessage[]);
      });
      if (messages.some((list) => list !== null && list.length > 0)) node.send(messages as NodeMessage[][]);
    },
    status: (status) => node.status(status),
    warn: (text) => node.warn(text),
    recipe: options.recipe,
  };
}

type Wired = Node & { readonly wires?: readonly (readonly string[])[] };

/**
 * The drives are made safe when the node goes. In a full deploy or a stop of Node-RED every node is closed in the same
 * turn of the event loop, so that a message sent then arrives nowhere: it is handed to the wired nodes directly, while
 * they still listen.
 */
function sayFarewell(RED: NodeAPI, node: Wired, station: Station, release: () => void, options: StationOptions): void {
  const output = options.outputs.indexOf('drives');
  let gone = false;
  const leave = (removed: boolean): readonly OutMessage[] => {
    if (gone) return [];
    gone = true;
    release();
    return station.close({ removed, quiet: options.quietAtClose });
  };
  const stopping = (event: { readonly type?: string } | undefined) => {
    if (event?.type !== 'full') return;
    for (const message of leave(false)) {
      for (const target of node.wires?.[output] ?? [])
        RED.nodes.getNode(target)?.receive(RED.util.cloneMessage({ ...message }) as NodeMessage);
    }
  };
  RED.events.on('flows:stopping', stopping);
  node.on('close', (removed: boolean, done: () => void) => {
    RED.events.removeListener('flows:stopping', stopping);
    const last = leave(removed);
    if (last.length > 0 && output >= 0) {
      const messages = options.outputs.map((_, index) =>
        index === output ? (last as unknown as NodeMessage[]) : null,
      );
      node.send(messages as NodeMessage[][]);
    }
    // One turn later, so that what was sent has been delivered.
    nodeTimers.soon(() => nodeTimers.soon(done));
  });
}
