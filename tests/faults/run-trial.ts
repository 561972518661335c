import type { Event } from '../../lib/engine/types';
import { createRig, type Rig } from '../../simulators/rig';
import { commandedHeat, type View } from './case';
import { promisedS } from './catalogue';
import type { Trial } from './draw';
import { createEngine, type TestEngine } from './engine';
import { createHealer } from './healer';
import { putBack } from './moments';
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
/** Grace on top of the stated time: a reading's own period and the scan that sees it [s]. */
const graceS = 6;

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
    seen.look({ site: rig.site, plant, run: engine.run, before: engine.before, atS, isOn: stage.isOn(atS) }, events);
    falseTrips.push(...seen.falseTrips(events, atS));
    return stage.isOver(atS, seen);
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

interface Stage {
  act(atS: number): void;
  isOn(atS: number): boolean;
  isOver(atS: number, sight: Sight): boolean;
  heal(atS: number): void;
}

/** Carries out what the trial does besides faults, and decides when nothing more can come of the trouble. */
function createStage(trial: Trial, engine: TestEngine, rig: Rig): Stage {
  const waiting = [...trial.acts];
  const ends: { readonly atS: number; readonly what: () => void }[] = [];
  let isAway = false;
  let nextAttendS = rig.site.state.atS + 300;
  let settledAtS: number | null = null;
  const start = (kind: Trial['acts'][number]['kind'], atS: number, forS: number): void => {
    switch (kind) {
      case 'kill':
        rig.replaceController(null);
        ends.push({
          atS: atS + forS,
          what: () => {
            engine.restart(forS);
            rig.replaceController(engine);
          },
        });
        break;
      case 'freeze':
        engine.isFrozen = true;
        ends.push({ atS: atS + forS, what: () => (engine.isFrozen = false) });
        break;
      case 'disk-full':
        engine.isDiskFull = true;
        ends.push({ atS: atS + forS, what: () => (engine.isDiskFull = false) });
        break;
      case 'hold':
        rig.order({ id: `hold-${atS}`, kind: 'hold', by: 'operator', from: 'still' });
        break;
      case 'leave':
        isAway = true;
        break;
    }
  };
  return {
    act(atS) {
      for (const end of ends.filter((one) => one.atS <= atS)) {
        ends.splice(ends.indexOf(end), 1);
        end.what();
      }
      for (const act of waiting.filter((one) => one.atS <= atS)) {
        waiting.splice(waiting.indexOf(act), 1);
        start(act.kind, atS, act.forS);
      }
      if (!isAway && atS >= nextAttendS) {
        nextAttendS = atS + 300;
        rig.order({ id: `attend-${atS}`, kind: 'attend', by: 'operator', from: 'still' });
      }
    },
    isOn: (atS) => atS >= trial.fromS && atS < trial.untilS,
    isOver(atS, sight) {
      if (waiting.length > 0 || ends.length > 0 || trial.second !== null) return false;
      if (!sight.isSettled) return false;
      settledAtS ??= atS;
      return atS - settledAtS >= trial.lingerS;
    },
    heal(atS) {
      for (const plan of trial.plans) plan.untilS = Math.min(plan.untilS, atS);
      waiting.length = 0;
      for (const end of ends.splice(0)) end.what();
    },
  };
}

interface Sight {
  readonly isSettled: boolean;
  look(view: View, events: readonly Event[]): void;
  falseTrips(events: readonly Event[], atS: number): readonly string[];
  failures(endsAtS: number): readonly string[];
  figures(): Pick<Outcome, 'isHazard' | 'unseen' | 'promisedS' | 'detectedAfterS' | 'detectedBy' | 'safeAfterS'>;
}

/** Follows one trouble: since when it is a hazard, who told of it when, and when the still was safe. */
function createSight(trial: Trial): Sight {
  const { one, type, course, fromS, plans, delayS } = trial;
  const { plant } = course;
  const isAlone = trial.second === null;
  const unseen = isAlone ? one.unseen(type, plans) : 'two troubles at once';
  const limitS = promisedS(one, plant);
  const allowedS = (limitS ?? Number.POSITIVE_INFINITY) + delayS + graceS;
  const isTolerated = one.safe === 'carries-on' && isAlone;
  const heatBefore = commandedHeat(trial.moment.run, plant);
  let onsetS: number | null = null;
  let toldAtS: number | null = null;
  let toldBy: string | null = null;
  let safeAtS: number | null = null;
  let cutsWhileOn = 0;
  const answers = (id: string) => one.answers.includes(id.split(':', 1)[0] ?? '');
  const isSafe = (view: View): boolean => {
    switch (one.safe) {
      case 'heat-off':
        return commandedHeat(view.run, plant) === 0;
      case 'less-heat':
        return commandedHeat(view.run, plant) < heatBefore || view.run.state === 'held';
      case 'device-off':
        return view.site.state.powerW === 0;
      case 'told':
      case 'no-cut':
        return toldAtS !== null;
      case 'carries-on':
        return true;
    }
  };
  const isRelevant = () => unseen === null && onsetS !== null;
  const after = (atS: number | null) => (atS === null || onsetS === null ? null : Math.max(0, atS - onsetS));
  return {
    get isSettled() {
      return !isTolerated && onsetS !== null && toldAtS !== null && safeAtS !== null;
    },
    look(view, events) {
      if (onsetS === null && one.onset(view)) onsetS = view.atS;
      for (const event of events) {
        const isCall = event.kind === 'alarm' && event.transition === 'raised' && view.atS >= fromS;
        if (isCall && toldAtS === null && answers(event.alarm)) {
          toldAtS = view.atS;
          toldBy = event.alarm;
        }
        if (event.kind === 'phase' && event.reason.code !== 'order.cut' && toldAtS !== null && view.isOn)
          cutsWhileOn += 1;
      }
      if (safeAtS === null && (onsetS !== null || toldAtS !== null) && isSafe(view)) safeAtS = view.atS;
    },
    falseTrips: (events, atS) =>
      events.flatMap((event) => {
        const isTrip = event.kind === 'trip' && event.state === 'tripped';
        const isHold = event.kind === 'state' && event.to === 'held' && event.reason.code !== 'held.trip';
        if (!isTrip && !isHold) return [];
        const what = isTrip ? event.trip : event.reason.code;
        const isCalledFor = isAlone ? !isTolerated && (onsetS !== null || toldAtS !== null || answers(what)) : true;
        const isOrdered = !isTrip && (trial.acts.length > 0 || one.hazard !== null);
        return atS >= fromS && (isCalledFor || isOrdered) ? [] : [`${what} at ${Math.round(atS - fromS)} s`];
      }),
    failures(endsAtS) {
      if (!isRelevant()) return [];
      const told = after(toldAtS);
      const safe = after(safeAtS);
      const lastedS = endsAtS - (onsetS ?? 0);
      const lines: string[] = [];
      if (limitS !== null && (told === null ? lastedS > allowedS : told > allowedS))
        lines.push(`not detected within ${limitS} s: ${told === null ? 'never' : `${told} s by ${toldBy}`}`);
      if (one.safe === 'no-cut' && cutsWhileOn > 0) lines.push('a cut was made by a probe that was not to be believed');
      if (limitS !== null && (safe === null ? lastedS > allowedS : safe > allowedS + 2))
        lines.push(`not safe (${one.safe}) within ${limitS} s: ${safe === null ? 'never' : `${safe} s`}`);
      return lines;
    },
    figures: () => ({
      isHazard: onsetS !== null,
      unseen,
      promisedS: limitS,
      detectedAfterS: after(toldAtS),
      detectedBy: toldBy,
      safeAfterS: after(safeAtS),
    }),
  };
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
