import type { Event } from '../../lib/engine/types';
import { createRig } from '../../simulators/rig';
import type { Trial } from './draw';
import { createEngine } from './engine';
import { createHealer } from './healer';
import { putBack } from './moments';
import { createSight } from './sight';
import { createStage } from './stage';
import { watchTruth } from './truth';

/** What came of one trial. All times count from the onset [s]. */
export interface Outcome {
  readonly name: string;
  readonly seed: number;
  readonly type: string;
  readonly phase: string;
  readonly along: readonly string[];
  readonly second: string | null;
  /** The hazard was really there, not only the trouble that leads to it. */
  readonly isHazard: boolean;
  /** Why it need not be seen; null where it must. */
  readonly unseen: string | null;
  readonly promisedS: number | null;
  readonly detectedAfterS: number | null;
  readonly detectedBy: string | null;
  readonly safeAfterS: number | null;
  /** The safe state was due in this run. */
  readonly isSafeDue: boolean;
  /** Trips and holds that nothing called for, while the trouble was on or before. */
  readonly falseTrips: readonly string[];
  /** Trips after everything was healed. */
  readonly laterTrips: readonly string[];
  readonly end: string;
  /** Virtual seconds that were run. */
  readonly ranS: number;
  /** What must not be; empty when all is well. */
  readonly failures: readonly string[];
}

export interface TrialOptions {
  /** Told of everything that happens, for a replay. */
  readonly tell?: (line: string) => void;
  /** False ends the trial with its trouble: nothing is healed and nothing brought to an end. */
  readonly heals?: boolean;
}

/** Longest the healed run may take to its end [s]. */
const healLimitS = 6 * 3600;

export function runTrial(trial: Trial, options: TrialOptions = {}): Outcome {
  const { one, seed, course, moment, fromS, untilS } = trial;
  const { plant, spec } = course;
  const engine = createEngine(plant, moment.run);
  const rig = createRig({
    spec,
    controller: engine,
    seed,
    faults: trial.plans,
    operator: { startsAtS: null, attendsEveryS: null, ...carelessness(trial) },
    logEveryS: 0,
  });
  putBack(rig, spec, moment);
  const truth = watchTruth(trial, engine, rig.site);
  const failures: string[] = [];
  const falseTrips: string[] = [];
  const laterTrips: string[] = [];
  const seen = createSight(trial);
  const stage = createStage(trial, engine, rig);
  const look = (events: readonly Event[], atS: number): void => {
    failures.push(...truth.check(atS).map((line) => `${line}, at ${Math.round(atS - fromS)} s`));
    if (Math.round(atS) % 977 === 0 && !engine.isRepeatable()) failures.push('the same input gave another result');
    for (const event of events) if (options.tell !== undefined) tellEvent(event, atS - fromS, options.tell);
  };

  rig.run(untilS - moment.atS, ({ atS, events }) => {
    stage.act(atS);
    look(events, atS);
    const { run, before, isWaiting } = engine;
    const view = { site: rig.site, plant, run, before, atS, isOn: stage.isOn(atS), isWaiting };
    seen.look(view, events);
    falseTrips.push(...seen.falseTrips(view, events));
    return stage.isOver(atS, seen.isSettled);
  });

  const healedAtS = rig.site.state.atS;
  failures.push(...seen.failures(healedAtS));
  stage.heal(healedAtS);
  options.tell?.(`— everything is healed at ${Math.round(healedAtS - fromS)} s`);
  const healer = createHealer(trial, rig, engine);
  const isHealed = options.heals !== false;
  if (isHealed)
    rig.run(healLimitS, ({ atS, events }) => {
      look(events, atS);
      for (const event of events) if (event.kind === 'trip' && event.state === 'tripped') laterTrips.push(event.trip);
      return healer.act(atS);
    });

  failures.push(...falseTrips.map((line) => `false trip: ${line}`), ...(isHealed ? healer.failures() : []));
  return {
    name: one.name,
    seed,
    type: trial.type,
    phase: moment.phase,
    along: trial.along,
    second: trial.second?.name ?? null,
    ...seen.figures(),
    falseTrips,
    laterTrips,
    end: isHealed ? healer.end() : 'left as it was',
    ranS: rig.site.state.atS - moment.atS,
    failures,
  };
}

function carelessness({ isCareless }: Trial): { acknowledgesAfterS?: number; resumesAfterS?: number } {
  return isCareless ? { acknowledgesAfterS: 8, resumesAfterS: 25 } : {};
}

function tellEvent(event: Event, atS: number, tell: (line: string) => void): void {
  if (event.kind === 'quality') return;
  const reason = `${event.reason.code} ${JSON.stringify(event.reason.numbers)}`;
  const what =
    event.kind === 'alarm'
      ? `${event.alarm} ${event.transition}`
      : event.kind === 'trip'
        ? `${event.trip} ${event.state}`
        : event.kind === 'order'
          ? `${event.order.kind} ${event.accepted ? 'accepted' : 'refused'}`
          : 'to' in event
            ? `→ ${event.to ?? ''}`
            : '';
  tell(`${Math.round(atS)} s  ${event.kind}  ${what}  ${reason}`);
}
