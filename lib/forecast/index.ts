import { alcoholSharePercent } from '../cuts/alcohol-share';
import { isFraction } from '../engine/course';
import { movedOver } from '../engine/estimate';
import { heatNow } from '../engine/produced';
import type { ChargeForecast, CutTime, Estimate, Forecast, Image, PlannedStep, Plant, Run } from '../engine/types';
import { ethanolDensity20KgM3, vaporisationHeatJPerMol } from '../physics';
import { type Ahead, type Head, lookAhead, paceAt, refluxOf } from './ahead';
import { at, boiling, placeOfTemp, placeOfX } from './boiling';
import { type Boiler, beginCharge, boilerOf, followCharge, heldUpL, waterLeftMol } from './charge';
import { afterVolume, type Known, shareTime, timeOf } from './cut-time';
import { type Flow, followFlow } from './flow';
import { vapourComes } from './heat-up';
import { forecastNothing } from './nothing';
import { vapourAtStandard } from './standard';

export { forecastNothing };

/** What lies ahead is worked out this often, and half as often while it is far; in between the clock only runs down [s]. */
const everyS = 10;
const farS = 900;

const unknown = (why: string): CutTime => ({ kind: 'unknown', why: `forecast.${why}` });

/** Follows the charge, the rate and the time to the next cut; every ten seconds of the run, and when a phase begins. */
export function followForecast(plant: Plant, run: Run, image: Image, estimate: Estimate, now: number): Forecast {
  const before = estimate.forecast ?? forecastNothing;
  const sinceS = before.atS === null ? null : now - before.atS;
  const dueS = before.next.kind === 'in' && before.next.inS > farS ? 2 * everyS : everyS;
  if (sinceS !== null && sinceS < dueS && before.step === run.step) return before;
  const planned = plant.plan[run.step];
  if (planned === undefined) {
    return before.step === run.step ? before : { ...before, atS: now, step: run.step, next: unknown('not-running') };
  }
  const gapS = Math.min(60, Math.max(0, sinceS ?? 0));
  const started = before.charge ?? beginCharge(plant, run);
  const boils = isBoiling(run, estimate);
  const waterMol = started === null ? 0 : waterLeftMol(plant, estimate);
  const charge = started === null ? null : followCharge(plant, image, started, estimate, run, gapS, waterMol, boils);
  const { memory, flow } = followFlow(plant, run, before.flow, estimate, image, gapS);
  return {
    atS: now,
    step: run.step,
    charge,
    flow: memory,
    next: nextTime(
      plant,
      run,
      image,
      estimate,
      planned,
      now,
      charge === null ? null : { charge, boiler: boilerOf(waterMol, charge.alcoholL) },
      flow,
    ),
  };
}

const boilingC = 60;

function isBoiling(run: Run, { vapourTempC }: Estimate): boolean {
  const away = run.phase === 'idle' || run.phase === 'heat-up';
  return !away && run.state === 'running' && vapourTempC !== null && vapourTempC >= boilingC;
}

/** What the boiler holds, and how that is known. */
interface Content {
  readonly charge: ChargeForecast;
  readonly boiler: Boiler;
}

/** Small errors of rate and composition add up the further one looks: uncertainties are half as large again at about this time ahead [s]. */
const farOffS = 4500;

function nextTime(
  plant: Plant,
  run: Run,
  image: Image,
  estimate: Estimate,
  planned: PlannedStep,
  now: number,
  content: Content | null,
  flow: Flow | null,
): CutTime {
  if (run.state !== 'running' || run.resume !== null) return unknown('not-running');
  const vapourC = vapourAtStandard(estimate);
  const { ahead, why } = lookFrom(plant, run, image, estimate, content, flow, vapourC);
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
    vapourC,
    vapour: waits ? vapourComes(plant, estimate, now - run.phaseSinceS) : null,
  };
  const met = timeOf(planned.step.endsWhen, known);
  const free = guardTime(planned, known);
  if (met.kind === 'unknown') return met;
  if (free.kind === 'unknown') return free;
  const later = met.inS >= free.inS ? met : free;
  const heldS = run.cut.metSinceS === null ? 0 : now - run.cut.metSinceS;
  if (!Number.isFinite(later.inS + later.sigmaS)) return unknown('probe');
  return {
    ...later,
    inS: later.inS + Math.max(0, planned.step.holdS - heldS),
    sigmaS: later.sigmaS * Math.hypot(1, later.inS / farOffS),
  };
}

/** Over which the vapour is seen to move, and how long a phase must have been under way before that says something [s]. */
const seenOverS = 480;
const calmAfterS = 240;
/** What the movement seen may be off by [K/s], and the march's [share of it]. */
const seenWithinKPerS = 8e-5;
const marchWithin = 0.07;

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
  content: Content | null,
  flow: Flow | null,
  vapourC: number | null,
): { readonly ahead: Ahead | null; readonly why: string } {
  const none = (why: string) => ({ ahead: null, why });
  if (content === null) return none('no-charge');
  if (estimate.produced.source === 'none' || flow === null) return none('no-flow');
  if (!isFraction(run.phase) || vapourC === null) return none('probe');
  const head = headOf(plant, run, image, estimate, content, flow, placeOfTemp(vapourC));
  return { ahead: lookAhead(content.boiler, head, flow), why: 'beyond' };
}

function headOf(
  plant: Plant,
  run: Run,
  image: Image,
  estimate: Estimate,
  { boiler, charge }: Content,
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
