import { deflateRawSync } from 'node:zlib';
import type { Input, Run } from '../../lib/engine/types';
import { decisionsOf, encodeSummaries, summarise, writeExactJson } from '../../lib/record';
import { type ChunkRow, linkChunk, linkDecision, packInputs } from './chain';
import type { Mark, ScanOutcome } from './contract';
import type { Bounds, CheckpointRow, Ending, Entry, Position } from './position';
import type { Statements } from './statements';

/** A chunk is closed after its minute, or when it has grown to this many readings and scans, whichever is first. */
const chunkS = 60;
const largestChunk = 20_000;

/** What SQLite gives back as it was: it has no NaN. */
const timeOf = (input: Input | undefined): number | null =>
  input !== undefined && Number.isFinite(input.now) ? input.now : null;

const minuteOf = (input: Input): number => Math.floor(input.now / chunkS);

/** The record of one open run: what is written of it, and what waits in memory to be written. */
export class RunWriter {
  readonly id: string;
  #position: Position;
  /** Closed minutes and decisions in the order they happened, not yet written. */
  #queue: Entry[] = [];
  #open: Input[] = [];
  #openReadings = 0;
  /** Since when something of the open minute or a closed one waits [ms]; null when all is written. */
  #waitingSinceMs: number | null = null;
  #lastS: number | null = null;
  #chunks: number;
  #scans: number;
  #readings: number;
  readonly #points: string[];
  #queuedBytes = 0;
  #queuedDecisions = 0;
  #lost = { scans: 0, readings: 0, decisions: 0 };
  #checkpoint: CheckpointRow | null = null;
  #ending: Ending | null = null;

  constructor(id: string, position: Position) {
    this.id = id;
    this.#position = position;
    this.#chunks = position.chunks;
    this.#scans = position.scans;
    this.#readings = position.readings;
    this.#points = [...position.points];
  }

  get ending(): Ending | null {
    return this.#ending;
  }

  isOurs(statements: Statements): boolean {
    return statements.isOurs(this.#position.number, this.#position.writer);
  }

  get waiting(): { readonly scans: number; readonly decisions: number; readonly bytes: number } {
    const queued = this.#queue.reduce((sum, entry) => sum + (entry.kind === 'chunk' ? entry.chunk.scans : 0), 0);
    const open = this.#waitingSinceMs === null ? 0 : this.#open.length;
    return { scans: queued + open, decisions: this.#queuedDecisions, bytes: this.#queuedBytes };
  }

  append(input: Input, outcome: ScanOutcome, nowMs: number, bounds: Bounds): void {
    const last = this.#open.at(-1);
    const full = this.#open.length >= largestChunk || this.#openReadings >= largestChunk;
    if (last !== undefined && (full || minuteOf(last) !== minuteOf(input))) this.seal(bounds);
    this.#open.push(input);
    this.#openReadings += input.readings.length;
    this.#waitingSinceMs ??= nowMs;
    this.#lastS = timeOf(input) ?? this.#lastS;
    const scan = this.#scans++;
    this.#readings += input.readings.length;
    for (const decision of decisionsOf(input, outcome)) {
      this.#enqueueDecision(scan, decision.kind, writeExactJson(decision), bounds);
    }
  }

  mark(mark: Mark, bounds: Bounds): void {
    this.#enqueueDecision(this.#scans, 'mark', writeExactJson(mark), bounds);
  }

  checkpoint(run: Run, nowMs: number): void {
    this.#waitingSinceMs ??= nowMs;
    const state = new Uint8Array(deflateRawSync(Buffer.from(writeExactJson(run))));
    this.#checkpoint = { scan: this.#scans, restarts: this.#position.restarts, state };
  }

  end(ending: Ending, mark: Mark, bounds: Bounds): void {
    if (this.#open.length > 0) this.seal(bounds);
    this.mark(mark, bounds);
    this.#ending = ending;
  }

  /** Whether a commit now has something of this run to write. */
  isDue(nowMs: number, flushMs: number): boolean {
    if (this.#queuedDecisions > 0 || this.#ending !== null) return true;
    return this.#waitingSinceMs !== null && nowMs - this.#waitingSinceMs >= flushMs;
  }

  /** Takes a chunk that an earlier process left open as closed, whole as it stands. */
  adopt(chunk: ChunkRow): void {
    this.#queue.push({ kind: 'chunk', chunk });
    this.#queuedBytes += chunk.bytes?.length ?? 0;
  }

  /** Closes the open minute: it is packed now, once, however long it has to wait. */
  seal(bounds: Bounds): void {
    const chunk = this.#packOpen();
    this.#queue.push({ kind: 'chunk', chunk });
    this.#queuedBytes += chunk.bytes?.length ?? 0;
    this.#chunks += 1;
    this.#open = [];
    this.#openReadings = 0;
    // Out of room: the oldest readings go as if they were thinned, so that the chain and the summaries stay whole.
    for (let i = 0; this.#queuedBytes > bounds.bytes && i < this.#queue.length; i++) {
      const entry = this.#queue[i];
      if (entry?.kind !== 'chunk' || entry.chunk.bytes === null) continue;
      this.#queuedBytes -= entry.chunk.bytes.length;
      this.#queue[i] = { kind: 'chunk', chunk: { ...entry.chunk, bytes: null } };
      this.#lost.scans += entry.chunk.scans;
      this.#lost.readings += entry.chunk.readings;
    }
  }

  #enqueueDecision(scan: number, decision: string, body: string, bounds: Bounds): void {
    this.#queue.push({ kind: 'decision', scan, decision, body });
    this.#queuedDecisions += 1;
    if (this.#queuedDecisions <= bounds.decisions) return;
    // Commands first: what was decided says more than what it switched. Marks stay: the chain and a replay rest on them.
    const commands = this.#queue.findIndex((entry) => entry.kind === 'decision' && entry.decision === 'command');
    const oldest =
      commands >= 0
        ? commands
        : this.#queue.findIndex((entry) => entry.kind === 'decision' && entry.decision !== 'mark');
    if (oldest < 0) return;
    this.#queue.splice(oldest, 1);
    this.#queuedDecisions -= 1;
    this.#lost.decisions += 1;
  }

  #indexOf(point: string): number {
    const index = this.#points.indexOf(point);
    return index >= 0 ? index : this.#points.push(point) - 1;
  }

  #packOpen(): ChunkRow {
    const inputs = this.#open;
    return {
      seq: this.#chunks,
      firstScan: this.#scans - inputs.length,
      scans: inputs.length,
      readings: this.#openReadings,
      fromS: timeOf(inputs[0]),
      toS: timeOf(inputs.at(-1)),
      summary: encodeSummaries(summarise(inputs), (point) => this.#indexOf(point)),
      ...packInputs(inputs),
    };
  }

  /**
   * Writes all that waits, inside a transaction of the caller.
   * @returns to be called once that transaction has been committed: only then has anything happened here
   */
  write(
    statements: Statements,
    atMs: number,
  ): { readonly decisions: number; readonly chunks: number; readonly settle: () => void } {
    const lost = this.#lost;
    const wasLost = lost.scans + lost.decisions > 0;
    const entries: readonly Entry[] = wasLost
      ? [
          ...this.#queue,
          {
            kind: 'decision',
            scan: this.#scans,
            decision: 'mark',
            body: writeExactJson({ mark: 'lost', atMs, ...lost }),
          },
        ]
      : this.#queue;
    let { links, head, decisions } = this.#position;
    const { number, writer, restarts } = this.#position;
    const written = { decisions: 0, chunks: 0 };
    for (const entry of entries) {
      links += 1;
      if (entry.kind === 'chunk') {
        head = linkChunk(head, entry.chunk);
        statements.writeChunk(number, entry.chunk, links, head);
        written.chunks += 1;
      } else {
        const row = { seq: decisions++, scan: entry.scan, kind: entry.decision, body: entry.body };
        head = linkDecision(head, row);
        statements.writeDecision(number, row, links, head);
        written.decisions += 1;
      }
    }
    if (this.#open.length > 0 && this.#waitingSinceMs !== null) {
      statements.writeChunk(number, this.#packOpen(), null, null);
      written.chunks += 1;
    }
    const checkpoint = this.#checkpoint;
    if (checkpoint !== null) statements.writeCheckpoint(number, checkpoint);
    if (this.#points.length !== this.#position.points.length) statements.writePoints(number, this.#points);
    const position: Position = {
      number,
      writer,
      links,
      head,
      decisions,
      chunks: this.#chunks,
      scans: this.#scans,
      readings: this.#readings,
      restarts,
      points: [...this.#points],
    };
    statements.writePosition(position, this.#lastS, wasLost, this.#ending);
    const settle = (): void => {
      this.#position = position;
      this.#queue = [];
      this.#queuedBytes = 0;
      this.#queuedDecisions = 0;
      this.#lost = { scans: 0, readings: 0, decisions: 0 };
      this.#waitingSinceMs = null;
      this.#checkpoint = null;
    };
    return { ...written, settle };
  }
}
