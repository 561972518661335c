import { ruleOfAlarm } from '../../lib/alarms';
import { alarmState } from '../../lib/alarms/life-cycle';
import { alcoholSharePercent } from '../../lib/cuts/alcohol-share';
import { referenceHPa } from '../../lib/engine/estimate';
import { pointOf } from '../../lib/engine/image';
import { receiverVolumeL } from '../../lib/engine/receiver-room';
import type { AlarmMemory, DriveMemory, Plant, Run } from '../../lib/engine/types';
import { shiftBoilerTemp, shiftVapourTemp } from '../../lib/physics';
import { fractions } from '../../lib/recipe/schema';
import { type PointKind, pointKinds } from '../../lib/still/schema';
import { type Saying, sayGuidance, sayName, sayReason } from '../../lib/words';
import type { StillHost } from '../host/still-host';
import { askViews, ordersNow, undoForS } from './asks';
import { nextView } from './far';
import type { AlarmView, DecisionView, FractionView, PointView, ReceiverView, StillView, TempView } from './views';

/** A still as the page shows it now: everything an operator wants at a glance, worded. */
export function stillView(
  host: StillHost,
  speed: number,
  saying: Saying,
  decisions: readonly DecisionView[],
  ownAlarms: readonly AlarmView[] = [],
): StillView {
  const { still, plant, run } = host;
  return {
    id: still.id,
    name: still.name,
    kind: still.kind,
    state: run.state,
    stateSaid: sayName(run.state, saying),
    phase: run.phase,
    phaseSaid: sayName(run.phase, saying),
    since: new Date(host.sinceMs).toISOString(),
    reason: sayReason(run.stateReason, saying),
    speed,
    nowS: run.now,
    run: runOf(host),
    referenceHPa: referenceHPa(plant),
    vapour: tempView(plant, run, 'vapour-temp', saying),
    boiler: tempView(plant, run, 'boiler-temp', saying),
    airPressureHPa: run.estimate.pressure.medianHPa,
    airPressureFrom: airPressureFrom(run, saying),
    strengthVolPercent: run.estimate.strengthAbv === null ? null : run.estimate.strengthAbv * 100,
    strengthBy: run.estimate.strengthBy,
    next: nextView(plant, run, saying),
    comingBack: run.resume?.reheating === true,
    produced: producedOf(plant, run, saying),
    receivers: receiversOf(plant, run),
    drives: drivesOf(plant, run, saying),
    points: pointsOf(plant, run, saying),
    alarms: alarmsOf(run, saying, ownAlarms),
    trips: run.trips.map(({ id, reason }) => ({ id, text: sayReason(reason, saying) })),
    asks: askViews(plant, run, saying),
    attendance: attendanceOf(plant, run),
    jar: jarOf(run),
    can: ordersNow(host),
    undoForS: undoForS(plant, run),
    remoteOrders: still.remoteOrders,
    decisions,
  };
}

function airPressureFrom(run: Run, saying: Saying): string {
  const { source } = run.estimate.pressure;
  return sayName(source === 'held' ? 'last-good' : source, saying);
}

function runOf({ plant, run, runId }: StillHost): StillView['run'] {
  const { recipe, charge } = plant;
  if (recipe === null) return null;
  return {
    id: runId,
    recipe: recipe.name,
    variant: plant.variant,
    potable: isPotable(recipe.kind),
    startedS: run.startedAtS,
    intoS: run.startedAtS === null ? null : run.now - run.startedAtS,
    inPhaseS: run.now - run.phaseSinceS,
    chargeL: charge?.volumeL ?? null,
    chargeVolPercent: charge === null ? null : percentOf(charge.strengthAbv),
  };
}

/** A strength as people wrote it: 29, and not 28.999999999999996. */
export const percentOf = (strengthAbv: number): number => Number((strengthAbv * 100).toFixed(3));

/** Only stripping and spirit runs give a product to drink. */
export function isPotable(kind: string | undefined): boolean {
  return kind === 'spirit' || kind === 'stripping';
}

function tempView(plant: Plant, run: Run, kind: PointKind & `${'vapour' | 'boiler'}-temp`, saying: Saying): TempView {
  const point = pointOf(plant, kind);
  const seen = point === null ? undefined : run.image[point.id];
  const vapour = kind === 'vapour-temp';
  const { estimate } = run;
  const slopeKPerS = vapour ? estimate.vapourSlopeKPerS : estimate.boilerSlopeKPerS;
  const quality = point === null ? 'none' : (seen?.quality ?? 'never');
  // Until enough readings have gathered for a smoothed one, the last good reading stands in.
  const tempC =
    (vapour ? estimate.vapourTempC : estimate.boilerTempC) ?? (quality === 'good' ? (seen?.value ?? null) : null);
  const pressureHPa = estimate.pressure.medianHPa;
  const shift = vapour ? shiftVapourTemp : shiftBoilerTemp;
  return {
    point: point?.id ?? null,
    tempC,
    atReferenceC: tempC === null || pressureHPa === null ? null : shift(tempC, pressureHPa, referenceHPa(plant)),
    slopeKPerMin: slopeKPerS === null ? null : slopeKPerS * 60,
    quality,
    fault: seen === undefined || seen.fault === null ? null : sayName(seen.fault, saying),
    lastC: seen?.value ?? null,
    lastAgoS: seen === undefined || seen.goodAtS === null ? null : run.now - seen.goodAtS,
  };
}

export function fractionViews(plant: Plant, run: Run): readonly FractionView[] {
  return fractions.map((fraction) => {
    const { volumeL, alcoholL } = run.estimate.produced.byFraction[fraction];
    return {
      fraction,
      volumeL,
      alcoholL,
      strengthVolPercent: volumeL > 0 ? (alcoholL / volumeL) * 100 : null,
      sharePercent: alcoholSharePercent(plant.charge, alcoholL),
    };
  });
}

function producedOf(plant: Plant, run: Run, saying: Saying): StillView['produced'] {
  const { volumeL, alcoholL, rateLPerH, source } = run.estimate.produced;
  return {
    volumeL,
    alcoholL,
    rateLPerH,
    sharePercent: alcoholSharePercent(plant.charge, alcoholL),
    from: sayName(source, saying),
    fractions: fractionViews(plant, run),
  };
}

function receiversOf(plant: Plant, run: Run): readonly ReceiverView[] {
  return Object.entries(plant.still.receivers).map(([id, { takes, capacityL }]) => ({
    id,
    takes,
    capacityL,
    volumeL: receiverVolumeL(plant, run, id),
    open: run.receiver === id,
    opening: run.switching?.to === id,
  }));
}

function drivesOf(plant: Plant, run: Run, saying: Saying): StillView['drives'] {
  return Object.entries(plant.still.drives).map(([id, { kind }]) => {
    const memory = run.drives[id];
    const why = memory === undefined ? '' : sayReason(memory.reason, saying);
    return { id, kind, text: driveText(kind, memory), why };
  });
}

function driveText(kind: string, memory: DriveMemory | undefined): string {
  if (memory === undefined) return 'not commanded';
  const { value } = memory;
  if (typeof value === 'string') return value;
  if (kind === 'receiver-valve') return value === 0 ? 'closed' : 'open';
  if (kind === 'contactor') return value === 0 ? 'open' : 'closed';
  if (value === 0) return 'off';
  return value === 1 && kind === 'coolant' ? 'on' : `${Math.round(value * 100)} %`;
}

function pointsOf(plant: Plant, run: Run, saying: Saying): readonly PointView[] {
  return Object.entries(plant.still.points).map(([id, { kind }]) => {
    const seen = run.image[id];
    return {
      id,
      kind,
      what: pointKinds[kind].what,
      value: seen?.value ?? null,
      unit: pointKinds[kind].unit,
      quality: seen?.quality ?? 'never',
      fault: seen === undefined || seen.fault === null ? null : sayName(seen.fault, saying),
      agoS: seen === undefined || seen.goodAtS === null ? null : run.now - seen.goodAtS,
    };
  });
}

const rank = { critical: 0, high: 1, medium: 2, low: 3 } as const;

/** Alarms that stand, or that somebody silenced, and the host's own: unanswered first, then by priority. */
function alarmsOf(run: Run, saying: Saying, ownAlarms: readonly AlarmView[]): readonly AlarmView[] {
  const views = Object.entries(run.alarms).flatMap(([id, memory]) => alarmView(id, memory, run, saying) ?? []);
  // Which came first is worth saying only where there are several.
  return [...ownAlarms, ...views]
    .map((view) => ({ ...view, firstOut: view.firstOut && views.length > 1 }))
    .sort((a, b) => Number(a.acknowledged) - Number(b.acknowledged) || rank[a.priority] - rank[b.priority]);
}

function alarmView(id: string, memory: AlarmMemory, run: Run, saying: Saying): AlarmView | null {
  const rule = ruleOfAlarm(id);
  const state = alarmState(memory);
  const guidance = sayGuidance(id, saying);
  const silenced = memory.shelvedUntilS !== null || memory.outOfService;
  if (rule === null || (state === 'normal' && !silenced)) return null;
  return {
    id,
    name: sayName(id, saying),
    priority: rule.priority,
    state,
    text: memory.reason === null ? id : sayReason(memory.reason, saying),
    what: guidance?.means ?? null,
    doNow: guidance?.now ?? null,
    takesHeatOff: rule.interlock !== null,
    acknowledged: memory.acknowledged,
    shelvedForS: memory.shelvedUntilS === null ? null : Math.max(0, memory.shelvedUntilS - run.now),
    suppressed: memory.suppressed,
    outOfService: memory.outOfService,
    firstOut: run.firstOut === id,
    raisedAgoS: memory.raisedAtS === null ? null : run.now - memory.raisedAtS,
  };
}

function attendanceOf(plant: Plant, run: Run): StillView['attendance'] {
  const everyS = plant.still.attendanceS;
  if (everyS === undefined) return null;
  const dueInS = run.attendedAtS === null || run.phase === 'idle' ? null : run.attendedAtS + everyS - run.now;
  return { everyS, dueInS };
}

function jarOf(run: Run): StillView['jar'] {
  if (run.jar === null) return null;
  const { number, sinceL, sinceS } = run.jar;
  return { number, volumeL: run.estimate.produced.volumeL - sinceL, sinceS: run.now - sinceS };
}
