import type { Command, Event, Input, Plant, Run, ScanResult } from '../engine/types';

/** The engine's scan, passed in so that a record can be folded by any version of it. */
export type Scan = (plant: Plant, run: Run, input: Input) => ScanResult;

export interface Scanned {
  readonly input: Input;
  readonly result: ScanResult;
}

export interface Folded {
  readonly run: Run;
  readonly scans: number;
  readonly events: readonly Event[];
  /** All of them, repeats included. */
  readonly commands: readonly Command[];
}

/** Restarts in the course of a run: a run goes on after one as the engine rebuilds it, not as it was. */
export interface Restarts {
  /** Numbers of the scans before which a restart lies, counted from the start of the run, ascending. */
  readonly before: readonly number[];
  /** Number of the first input of this log: 0 for a whole run, the number of scans a checkpoint has seen otherwise. */
  readonly firstScan: number;
  readonly rebuild: (plant: Plant, run: Run) => Run;
}

const noRestarts: Restarts = { before: [], firstScan: 0, rebuild: (_plant, run) => run };

/**
 * Runs a log of inputs through the engine, one scan after the other; nothing is kept, so a run of any length fits.
 * @param scan the engine's scan
 * @param plant as the run had it
 * @param run state before the first input: that of the start, or a checkpoint (plain JSON of a run)
 * @param inputs scans in order
 * @param restarts where the run was rebuilt on its way
 * @returns each input with what the scan made of it, and the run it all leads to
 */
export function* scanInputs(
  scan: Scan,
  plant: Plant,
  run: Run,
  inputs: Iterable<Input>,
  restarts: Restarts = noRestarts,
): Generator<Scanned, Run> {
  let here = run;
  let number = restarts.firstScan;
  let passed = restarts.before.findIndex((before) => before >= number);
  if (passed < 0) passed = restarts.before.length;
  const rebuild = (): void => {
    for (; restarts.before[passed] === number; passed++) here = restarts.rebuild(plant, here);
  };
  for (const input of inputs) {
    rebuild();
    const result = scan(plant, here, input);
    here = result.run;
    number += 1;
    yield { input, result };
  }
  rebuild();
  return here;
}

/**
 * State as a fold of the inputs: the run a log leads to, with everything decided and commanded on the way.
 *
 * From a checkpoint taken after input n, the inputs after n lead to the same run as all inputs from the start.
 * Arguments as for `scanInputs`.
 */
export function foldInputs(
  scan: Scan,
  plant: Plant,
  run: Run,
  inputs: Iterable<Input>,
  restarts: Restarts = noRestarts,
): Folded {
  const events: Event[] = [];
  const commands: Command[] = [];
  const scans = scanInputs(scan, plant, run, inputs, restarts);
  for (let count = 0; ; count++) {
    const next = scans.next();
    if (next.done === true) return { run: next.value, scans: count, events, commands };
    events.push(...next.value.result.events);
    commands.push(...next.value.result.commands);
  }
}
