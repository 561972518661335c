import type { Input, Plant, Reading } from '../../lib/engine/types';
import { headerOf } from '../../lib/replay/log';
import type { PointKind } from '../../lib/still/schema';
import type { RunDetail } from '../store';

export interface LogColumn {
  readonly point: string;
  readonly header: string;
}

/** What drives and people reported: part of what the engine went by, but no measurements. */
const reported: readonly PointKind[] = ['drive-state', 'attendance'];

/** Kinds of which a still has several: each point under its own name. */
const several: readonly PointKind[] = ['drive-state', 'receiver-volume'];

/**
 * Columns of a log: the first point of each kind under the kind's header, further ones, receivers and drives under their own
 * name. With measurements only, most stills have a log that a replay can read without the still.
 */
export function logColumns(still: Plant['still'], measuredOnly = false): readonly LogColumn[] {
  const taken = new Set<PointKind>(several);
  return Object.entries(still.points).flatMap(([point, { kind }]) => {
    if (measuredOnly && reported.includes(kind)) return [];
    const header = taken.has(kind) ? point : headerOf(kind);
    taken.add(kind);
    return [{ point, header }];
  });
}

export interface LogAsk {
  readonly columns: readonly LogColumn[];
  /** Engine time at which the run started: the log's 0 [s]. */
  readonly startS: number;
  /** Spacing of the rows [s]; 0 for a row for every scan that read something. */
  readonly everyS: number;
}

type Cells = (number | null)[];

/** The row that is open, and the places of the points in it. */
interface Sheet {
  readonly places: ReadonlyMap<string, number>;
  cells: Cells;
  isEmpty: boolean;
}

/**
 * The readings of a run as CSV lines in the form `replay --log` reads: uncorrected, at the time of the scan that took them,
 * the last of each point as the engine acted on it; what was no reading is an empty cell. The first row holds what each
 * point showed when the run started, the last one stands where its record ends.
 * @param inputs every scan from the first on
 */
export function* logLines(run: RunDetail, inputs: Iterable<Input>, ask: LogAsk): Generator<string> {
  const sheet: Sheet = {
    places: new Map(ask.columns.map(({ point }, index) => [point, index])),
    cells: ask.columns.map(() => null),
    isEmpty: true,
  };
  yield `${['timeS', ...ask.columns.map(({ header }) => header)].join(',')}\n`;
  seed(sheet, run);
  let rowMs: number | null = null;
  for (const { now, readings } of inputs) {
    const nowMs = Math.round((now - ask.startS) * 1000);
    if (nowMs > 0) {
      const nextMs = rowAfter(nowMs, ask.everyS);
      // The first row is there even if it is empty: it starts the run.
      if (rowMs === null) yield close(sheet, 0);
      else if (nextMs > rowMs && !sheet.isEmpty) yield close(sheet, rowMs);
      rowMs = nextMs;
    }
    for (const reading of readings) take(sheet, reading);
  }
  // The last row is there even if it is empty: a scan after the last reading may still have decided something.
  yield close(sheet, rowMs ?? 0);
}

/** Time of the row a scan belongs to: its own, or the end of its stretch. */
function rowAfter(nowMs: number, everyS: number): number {
  if (everyS === 0) return nowMs;
  const everyMs = Math.round(everyS * 1000);
  return Math.ceil(nowMs / everyMs) * everyMs;
}

function take(sheet: Sheet, { point, value, fault }: Reading): void {
  const place = sheet.places.get(point);
  if (place === undefined || value === null || fault !== undefined || !Number.isFinite(value)) return;
  sheet.cells[place] = value;
  sheet.isEmpty = false;
}

function close(sheet: Sheet, atMs: number): string {
  const line = `${[atMs / 1000, ...sheet.cells.map((cell) => cell ?? '')].join(',')}\n`;
  sheet.cells = sheet.cells.map(() => null);
  sheet.isEmpty = true;
  return line;
}

/** What the points showed before the first scan, uncorrected again. */
function seed(sheet: Sheet, { initial, plant }: RunDetail): void {
  for (const [point, seen] of Object.entries(initial.image)) {
    if (seen.quality !== 'good' || seen.value === null) continue;
    const { gain = 1, offset = 0 } = plant.still.points[point]?.calibration ?? {};
    take(sheet, { point, value: Number(((seen.value - offset) / gain).toPrecision(12)), atS: 0 });
  }
}
