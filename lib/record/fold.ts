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

/**
 * Runs a log of inputs through the engine, one scan after the other; nothing is kept, so a run of any length fits.
 * @param scan the engine's scan
 * @param plant as the run had it
 * @param run state before the first input: that of the start, or a checkpoint (plain JSON of a run)
 * @param inputs scans in order
 * @returns each input with what the scan made of it
 */
export function* scanInputs(scan: Scan, plant: Plant, run: Run, inputs: Iterable<Input>): Generator<Scanned, Run> {
  let here = run;
  for (const input of inputs) {
    const result = scan(plant, here, input);
    here = result.run;
    yield { input, result };
  }
  return here;
}

/**
 * State as a fold of the inputs: the run a log leads to, with everything decided and commanded on the way.
 *
 * From a checkpoint taken after input n, the inputs after n lead to the same run as all inputs from the start.
 * @param scan the engine's scan
 * @param plant as the run had it
 * @param run state before the first input
 * @param inputs scans in order
 */
export function foldInputs(scan: Scan, plant: Plant, run: Run, inputs: Iterable<Input>): Folded {
  const events: Event[] = [];
  const commands: Command[] = [];
  let here = run;
  let scans = 0;
  for (const { result } of scanInputs(scan, plant, run, inputs)) {
    here = result.run;
    scans += 1;
    events.push(...result.events);
    commands.push(...result.commands);
  }
  return { run: here, scans, events, commands };
}
