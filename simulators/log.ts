import type { Reading } from '../lib/engine/types';
import { headerOf } from '../lib/replay/log';
import type { Still } from '../lib/still/schema';

/** A log of readings as CSV: a column a point, a row a moment. */
export interface LogBook {
  readonly columns: readonly string[];
  /** Takes in readings as they arrive. */
  note(readings: readonly Reading[]): void;
  /** Closes a row: the last good reading of each point since the row before; empty where there was none. */
  close(timeS: number): void;
  readonly rows: readonly (readonly (number | null)[])[];
}

const leftOut = new Set<string>(['drive-state', 'attendance', 'receiver-volume']);

/** Points that get a column: the first of each kind under the kind's header, so that a replay needs no still to read it. */
export function columnsOf(still: Still): ReadonlyMap<string, string> {
  const columns = new Map<string, string>();
  const taken = new Set<string>();
  for (const [id, point] of Object.entries(still.points)) {
    const header = headerOf(point.kind);
    if (leftOut.has(point.kind) || taken.has(header)) continue;
    taken.add(header);
    columns.set(id, header);
  }
  return columns;
}

export function createLogBook(still: Still): LogBook {
  const columns = columnsOf(still);
  const places = new Map([...columns.keys()].map((id, index) => [id, index]));
  const rows: (number | null)[][] = [];
  let open = new Array<number | null>(columns.size).fill(null);
  return {
    columns: [...columns.values()],
    note(readings) {
      for (const { point, value, fault } of readings) {
        const place = places.get(point);
        if (place !== undefined && value !== null && fault === undefined) open[place] = value;
      }
    },
    close(timeS) {
      rows.push([timeS, ...open]);
      open = new Array<number | null>(columns.size).fill(null);
    },
    rows,
  };
}

/** The log as CSV text, `timeS` first. */
export function logToCsv(book: Pick<LogBook, 'columns' | 'rows'>): string {
  const header = ['timeS', ...book.columns].join(',');
  const lines = book.rows.map((row) => row.map((cell) => (cell === null ? '' : String(cell))).join(','));
  return `${[header, ...lines].join('\n')}\n`;
}
