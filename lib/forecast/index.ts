import { alcoholSharePercent } from '../cuts/alcohol-share';
import { isFraction } from '../engine/course';
import { movedOver } from '../engine/estimate';
import { heatNow } from '../engine/produced';
import type { ChargeForecast, CutTime, Estimate, Forecast, Image, PlannedStep, Plant, Run } from '../engine/types';
import { ethanolDensity20KgM3, shiftVapourTemp, standardAirPressureHPa, vaporisationHeatJPerMol } from '../physics';
import { type Ahead, type Head, lookAhead, paceAt, refluxOf } from './ahead';
import { at, boiling, placeOfTemp, placeOfX } from './boiling';
import { type Boiler, beginCharge, boilerOf, followCharge, heldUpL } from './charge';
import { afterVolume, type Known, shareTime, timeOf } from './cut-time';
import { type Flow, followFlow } from './flow';
import { vapourComes } from './heat-up';
import { forecastNothing } from './nothing';

export { forecastNothing };

/** What lies ahead is worked out this often; in between the clock only runs down [s]. */
const everyS = 10;

const unknown = (why: string): CutTime => ({ kind: 'unknown', why: `forecast.${why}` });

/** Follows the charge, the rate and the time to the next cut; every ten seconds of the run, and when a phase begins. */
export function followForecast(plant: Plant, run: Run, image: Image, estimate: Estimate, now: number): Forecast {
  const before = estimate.forecast ?? forecastNothing;
  const sinceS = before.atS === null ? null : now - before.atS;
  if (sinceS !== null && sinceS < everyS && before.step === run.step) return before;
  const planned = plant.plan[run.step];
  if (planned === undefined) {
    return before.step === run.step ? before : { ...before, atS: now, step: run.step, next: unknown('not-running') };
  }
  const gapS = Math.min(60, Math.max(0, sinceS ?? 0));
  const started = before.charge ?? beginCharge(plant, run);
  const boils = isBoiling(run, estimate);
  const charge = started === null ? null : followCharge(plant, image, started, estimate, run, gapS, boils);
  const { memory, flow } = followFlow(plant, run, before.flow, estimate, image, gapS);
  return {
    atS: now,
    step: run.step,
    charge,
    flow: memory,
    next: nextTime(plant, run, image, estimate, planned, now, charge, flow),
  };
}

const boilingC = 60;

function isBoiling(run: Run, { vapourTempC }: Estimate): boolean {
  const away = run.phase === 'idle' || run.phase === 'heat-up';
  return !away && run.state === 'running' && vapourTempC !== null && vapourTempC >= boilingC;
}

function nextTime(
  plant: Plant,
  run: Run,
  image: Image,
  estimate: Estimate,
  planned: PlannedStep,
  now: number,
  charge: ChargeForecast | null,
  flow: Flow | null,
): CutTime {
  if (run.state !== 'running' || run.resume !== null) return unknown('not-running');
  const { ahead, why } = lookFrom(plant, run, image, estimate, charge, flow);
  const context = {
    plant,
    planned,
    estimate,
    image,
    now,
    phaseSinceS: run.phaseSinceS,
    phaseSinceL: run.phaseSinceL,
    frontPassed: run.cut.frontPassed || plant.plan[run.step - 1]?.step.phase !== 'heat-up',
  };
  const waits = run.phase === 'heat-up' && (estimate.vapourTempC ?? 0) < boilingC;
  const steadyS = run.phase === 'heat-up' ? 0 : now - run.phaseSinceS;
  const known: Known = {
    context,
    tests: run.cut.tests,
    flow,
    ahead,
    why,
    pace: paceOf(ahead, estimate, now, steadyS),
    vapour: waits ? vapourComes(plant, estimate) : null,
  };
  const met = timeOf(planned.step.endsWhen, known);
  const free = guardTime(planned, known);
  if (met.kind === 'unknown') return met;
  if (free.kind === 'unknown') return free;
  const later = met.inS >= free.inS ? met : free;
  const heldS = run.cut.metSinceS === null ? 0 : now - run.cut.metSinceS;
  return { ...later, inS: later.inS + Math.max(0, planned.step.holdS - heldS) };
}

/** Over which the vapour is seen to move, and how long a phase must have been under way before that says something [s]. */
const seenOverS = 480;
const calmAfterS = 240;
/** What the movement seen may be off by [K/s], and the march's [share of it]. */
const seenWithinKPerS = 5e-5;
const marchWithin = 0.12;

/** How fast the vapour really warms over how fast the march lets it; 1 while that cannot be told. */
function paceOf(ahead: Ahead | null, estimate: Estimate, now: number, inPhaseS: number): number {
  if (ahead === null || ahead.timeS.length < 3 || inPhaseS < seenOverS + calmAfterS) return 1;
  const moved = movedOver(estimate.recent, seenOverS, now);
  // The movement seen is that of the middle of the span, a little before now.
  const marched = 2 * paceAt(ahead, ahead.vapourC, 0) - paceAt(ahead, ahead.vapourC, seenOverS / 2);
  if (moved === null || marched <= 0) return 1;
  const seen = moved.changeK / seenOverS;
  const belief = marchWithin ** 2 / (marchWithin ** 2 + (seenWithinKPerS / marched) ** 2);
  return Math.min(1.6, Math.max(0.6, 1 + belief * (seen / marched - 1)));
}

/** When the guard lets the cut through. */
function guardTime(planned: PlannedStep, known: Known): CutTime {
  const guard = planned.step.notBefore;
  const { estimate, now, phaseSinceS, plant } = known.context;
  const times: CutTime[] = [{ kind: 'in', inS: 0, sigmaS: 0 }];
  const { volumeL, alcoholL } = estimate.produced;
  if (guard?.volumeL !== undefined && volumeL < guard.volumeL) times.push(afterVolume(guard.volumeL - volumeL, known));
  const share = alcoholSharePercent(plant.charge, alcoholL) ?? 0;
  if (guard?.sharePercent !== undefined && share < guard.sharePercent) times.push(shareTime(guard.sharePercent, known));
  if (guard?.timeS !== undefined)
    times.push({ kind: 'in', inS: Math.max(0, guard.timeS - (now - phaseSinceS)), sigmaS: 1 });
  const lacking = times.find((one) => one.kind === 'unknown');
  if (lacking !== undefined) return lacking;
  return times.reduce((a, b) => (a.kind === 'in' && b.kind === 'in' && b.inS > a.inS ? b : a));
}

const ethanolMolPerL = ethanolDensity20KgM3 / 46.06844;

/** The march from here, or why there is none. */
function lookFrom(
  plant: Plant,
  run: Run,
  image: Image,
  estimate: Estimate,
  charge: ChargeForecast | null,
  flow: Flow | null,
): { readonly ahead: Ahead | null; readonly why: string } {
  const none = (why: string) => ({ ahead: null, why });
  if (plant.charge === null || charge === null) return none('no-charge');
  if (estimate.produced.source === 'none' || flow === null) return none('no-flow');
  const { vapourTempC, pressure } = estimate;
  if (!isFraction(run.phase) || vapourTempC === null || pressure.medianHPa === null) return none('probe');
  const boiler = boilerOf(plant, estimate, charge.alcoholL);
  if (boiler === null) return none('no-charge');
  const headC = shiftVapourTemp(vapourTempC, pressure.medianHPa, standardAirPressureHPa);
  const head = headOf(plant, run, image, estimate, boiler, charge, flow, placeOfTemp(headC));
  return { ahead: lookAhead(boiler, head, flow), why: 'beyond' };
}

function headOf(
  plant: Plant,
  run: Run,
  image: Image,
  estimate: Estimate,
  boiler: Boiler,
  charge: ChargeForecast,
  flow: Flow,
  place: number,
): Head {
  if (plant.still.kind === 'pot') return { kind: 'pot', refluxShare: refluxOf(placeOfX(boiler.x), place) };
  const { efficiency, lossW } = plant.still.boilUp;
  const netW = heatNow(plant, run, image) * efficiency - lossW;
  const y = at(boiling().y, place);
  const boiledMolPerS = netW / vaporisationHeatJPerMol(y, estimate.vapourTempC ?? 78);
  const takenMolPerS = flow.litresPerS / at(boiling().litresPerMol, place);
  return {
    kind: 'column',
    place,
    takenShare: netW > 0 ? Math.min(1, takenMolPerS / boiledMolPerS) : null,
    heldMol: heldUpL(plant, charge) * ethanolMolPerL,
  };
}
