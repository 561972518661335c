import type { Hazard } from '../../lib/alarms/rule';
import { type Canary, canaryMadnesses, canaryOfHazard, canaryOfInterlock } from './canary';
import { type DetectorAlone, type Drying, runDetectorAlone } from './detectors';
import { caseNamed, caseOfSeed, drawTrial } from './draw';
import { type Quiet, runQuiet } from './quiet';
import { type Outcome, runTrial } from './run-trial';

/** A piece of work for one process. */
export type Task =
  | { readonly kind: 'trials'; readonly name: string | null; readonly seeds: readonly number[] }
  | { readonly kind: 'quiet'; readonly seed: number }
  | { readonly kind: 'canary'; readonly what: string }
  | { readonly kind: 'detector'; readonly rule: string; readonly drying: Drying };

export type Done =
  | { readonly kind: 'trials'; readonly outcomes: readonly Outcome[] }
  | { readonly kind: 'quiet'; readonly quiet: Quiet }
  | { readonly kind: 'canary'; readonly canary: Canary }
  | { readonly kind: 'detector'; readonly detector: DetectorAlone };

export function perform(task: Task): Done {
  switch (task.kind) {
    case 'trials': {
      const one = task.name === null ? null : caseNamed(task.name);
      return { kind: 'trials', outcomes: task.seeds.map((seed) => runTrial(drawTrial(one ?? caseOfSeed(seed), seed))) };
    }
    case 'quiet':
      return { kind: 'quiet', quiet: runQuiet(task.seed) };
    case 'detector':
      return { kind: 'detector', detector: runDetectorAlone(task.rule, task.drying) };
    case 'canary': {
      const isMadness = canaryMadnesses.includes(task.what);
      return { kind: 'canary', canary: isMadness ? canaryOfInterlock(task.what) : canaryOfHazard(task.what as Hazard) };
    }
  }
}

/** Works off what the parent sends, one task at a time. */
export function serve(): void {
  process.on('message', (task: Task) => process.send?.(perform(task)));
}
