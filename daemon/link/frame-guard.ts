/*
 * Watches the frames of an MQTT 3.1.1 stream for their stated length, before a parser gathers them in memory: a frame may state up to 256 MiB.
 * Layout: MQTT 3.1.1 (OASIS), sections 2.2 (fixed header), 3.3 (PUBLISH), 3.4 (PUBACK).
 */

export interface Oversize {
  readonly topic: string;
  readonly bytes: number;
}

export interface Guarded {
  /** What the parser may see. */
  readonly pass: readonly Buffer[];
  /** To be sent back: acknowledgements for messages that were skipped, or the broker would wait for them for ever. */
  readonly answers: readonly Buffer[];
  readonly skipped: readonly Oversize[];
  /** The stream cannot be followed, or may not be skipped: close it. */
  readonly broken: boolean;
}

export interface GuardOptions {
  /** Largest frame let through, fixed header aside [bytes]. */
  readonly maxFrameBytes: number;
  /** What to do with a larger PUBLISH: pass over it, or close the connection. */
  readonly oversize: 'skip' | 'close';
}

type State =
  | { readonly kind: 'header'; readonly bytes: readonly number[] }
  | { readonly kind: 'passing'; readonly left: number }
  | { readonly kind: 'head'; readonly first: number; readonly length: number; readonly bytes: Buffer }
  | { readonly kind: 'skipping'; readonly left: number };

const start: State = { kind: 'header', bytes: [] };
const publishType = 3;

/** Remaining length of a fixed header; null while bytes are missing, 'broken' past four of them. */
function remainingLength(bytes: readonly number[]): number | null | 'broken' {
  let length = 0;
  for (let at = 1; at < bytes.length; at += 1) {
    const byte = bytes[at] ?? 0;
    length += (byte & 0x7f) * 128 ** (at - 1);
    if ((byte & 0x80) === 0) return length;
    if (at === 4) return 'broken';
  }
  return null;
}

function qosOf(first: number): number {
  return (first >> 1) & 3;
}

/** Bytes of topic and packet id at the start of a PUBLISH; null while too few have come to tell. */
function headLength(first: number, bytes: Buffer): number | null {
  if (bytes.length < 2) return null;
  return 2 + bytes.readUInt16BE(0) + (qosOf(first) > 0 ? 2 : 0);
}

interface Work {
  state: State;
  readonly pass: Buffer[];
  readonly answers: Buffer[];
  readonly skipped: Oversize[];
  broken: boolean;
}

function takeHeader(work: Work, byte: number, before: readonly number[], options: GuardOptions): void {
  const bytes = [...before, byte];
  const length = remainingLength(bytes);
  if (length === 'broken') {
    work.broken = true;
  } else if (length === null) {
    work.state = { kind: 'header', bytes };
  } else if (length <= options.maxFrameBytes) {
    work.pass.push(Buffer.from(bytes));
    work.state = length === 0 ? start : { kind: 'passing', left: length };
  } else {
    const first = bytes[0] ?? 0;
    work.broken = options.oversize === 'close' || first >> 4 !== publishType || qosOf(first) > 1;
    work.state = { kind: 'head', first, length, bytes: Buffer.alloc(0) };
  }
}

/** Reads topic and packet id of a message too large to be taken; the rest is skipped. Returns how many bytes were used. */
function takeHead(work: Work, state: Extract<State, { kind: 'head' }>, chunk: Buffer): number {
  const bytes = Buffer.concat([state.bytes, chunk.subarray(0, 65540 - state.bytes.length)]);
  const wanted = headLength(state.first, bytes);
  if (wanted !== null && wanted > state.length) {
    work.broken = true;
    return chunk.length;
  }
  if (wanted === null || bytes.length < wanted) {
    work.state = { ...state, bytes };
    return bytes.length - state.bytes.length;
  }
  const topicEnd = 2 + bytes.readUInt16BE(0);
  work.skipped.push({ topic: bytes.subarray(2, topicEnd).toString('utf8'), bytes: state.length - wanted });
  if (qosOf(state.first) === 1)
    work.answers.push(Buffer.from([0x40, 2, bytes[topicEnd] ?? 0, bytes[topicEnd + 1] ?? 0]));
  const left = state.length - wanted;
  work.state = left === 0 ? start : { kind: 'skipping', left };
  return wanted - state.bytes.length;
}

function takeBody(work: Work, state: Extract<State, { kind: 'passing' | 'skipping' }>, chunk: Buffer): number {
  const used = Math.min(state.left, chunk.length);
  if (state.kind === 'passing') work.pass.push(chunk.subarray(0, used));
  work.state = used === state.left ? start : { ...state, left: state.left - used };
  return used;
}

/**
 * A guard for one connection.
 *
 * @returns a function that takes each chunk as it arrives and says what the parser may see
 */
export function createFrameGuard(options: GuardOptions): (chunk: Buffer) => Guarded {
  let state: State = start;
  return (chunk) => {
    const work: Work = { state, pass: [], answers: [], skipped: [], broken: false };
    let at = 0;
    while (at < chunk.length && !work.broken) {
      const now = work.state;
      if (now.kind === 'header') {
        takeHeader(work, chunk[at] ?? 0, now.bytes, options);
        at += 1;
      } else {
        const rest = chunk.subarray(at);
        at += now.kind === 'head' ? takeHead(work, now, rest) : takeBody(work, now, rest);
      }
    }
    state = work.state;
    return { pass: work.pass, answers: work.answers, skipped: work.skipped, broken: work.broken };
  };
}
