import { judgeTest, type TestContext, type Verdict } from '../cuts';
import { alcoholSharePercent } from '../cuts/alcohol-share';
import { movedOver, referenceHPa } from '../engine/estimate';
import type { CutMemory, CutTime } from '../engine/types';
import type { Condition, CutTest } from '../recipe/schema';
import { type Ahead, paceAt, whenPassed } from './ahead';
import type { Flow } from './flow';
import { atStandard } from './standard';

/** What is known for telling when a test is met. */
export interface Known {
  readonly context: Omit<TestContext, 'curve' | 'deadbandK'>;
  readonly tests: CutMemory['tests'];
  readonly flow: Flow | null;
  /** Why there is no look ahead, where there is none. */
  readonly ahead: Ahead | null;
  readonly why: string;
  /** How fast the vapour warms over how fast the march lets it. */
  readonly pace: number;
  /** The vapour now, at 1013.25 hPa [°C]. */
  readonly vapourC: number | null;
  /** When vapour comes at all, in the heat-up. */
  readonly vapour: CutTime | null;
}

type InTime = Extract<CutTime, { kind: 'in' }>;

const unknown = (why: string): CutTime => ({ kind: 'unknown', why: `forecast.${why}` });
const inS = (seconds: number, sigmaS: number): InTime => ({ kind: 'in', inS: Math.max(0, seconds), sigmaS });

/**
 * Standard uncertainty by what a test looks at, as measured over simulated runs (simulators/forecast/accuracy.md): a share of the time to go, and what it
 * never falls below. Temperatures have besides what the curve they follow may be off by [K], over its slope.
 */
const within = {
  vapour: { share: 0.028, leastS: 6, kelvin: 0.02 },
  boiler: { share: 0.06, leastS: 12, kelvin: 0.02 },
  'column-boiler': { share: 0.24, leastS: 20, kelvin: 0 },
  strength: { share: 0.07, leastS: 15, kelvin: 0 },
  volume: { share: 0.015, leastS: 4, kelvin: 0 },
  share: { share: 0.012, leastS: 10, kelvin: 0 },
  column: { share: 0.25, leastS: 270, kelvin: 0 },
  front: { share: 0.3, leastS: 360, kelvin: 0 },
} as const;

/** While a phase is young its heat still works through: the vapour may be off its course by this share, and calms down in this time [s]. */
const youngShare = 0.5;
const youngS = 100;

function sigmaOf(kind: keyof typeof within, seconds: number, flow: Flow | null, perS: number | null = null): number {
  const { share, leastS, kelvin } = within[kind];
  const byCurve = perS === null || kelvin === 0 ? 0 : kelvin / Math.max(1e-6, Math.abs(perS));
  // A flat curve can be off by no more than about the whole of the time it was given.
  return Math.hypot(share * seconds, (flow?.within ?? 0) * seconds, Math.min(byCurve, 0.7 * seconds + leastS), leastS);
}

/** When a condition is met: the soonest of any-of, the last of all-of. */
export function timeOf(condition: Condition, known: Known, path = ''): CutTime {
  if ('test' in condition) return timeOfTest(condition, known, path);
  const any = 'anyOf' in condition;
  const parts = (any ? condition.anyOf : condition.allOf).map((part, index) =>
    timeOf(part, known, path === '' ? String(index) : `${path}.${index}`),
  );
  const told = parts.filter((part) => part.kind === 'in');
  if (!any && told.length < parts.length) return parts.find((part) => part.kind === 'unknown') ?? unknown('order');
  const [first, ...rest] = told;
  if (first === undefined) return parts[0] ?? unknown('order');
  return rest.reduce((a, b) => ((any ? a.inS <= b.inS : a.inS >= b.inS) ? a : b), first);
}

function timeOfTest(test: CutTest, known: Known, path: string): CutTime {
  const verdict = judgeTest(test, known.context, path);
  if (verdict.kind === 'lost') return unknown('probe');
  const met = verdict.kind === 'known' && verdict.excess >= -((known.tests[path]?.met ?? false) ? verdict.deadband : 0);
  if (met && test.test !== 'order') return inS(0, 1);
  switch (test.test) {
    case 'time':
      return inS(test.atLeastS - (known.context.now - known.context.phaseSinceS), 1);
    case 'volume':
      return volumeTime(test, known);
    case 'alcohol-share':
      return shareTime(test.atLeastPercent, known);
    case 'vapour-temp':
      return vapourTime(verdict, known);
    case 'strength':
      return test.by === 'parrot' ? parrotTime(test.atMostVolPercent, known) : vapourTime(verdict, known);
    case 'boiler-temp':
      return boilerTime(verdict, known);
    case 'vapour-rise':
      return riseTime(test.byK, known);
    case 'settled':
      return unknown('settling');
    case 'order':
      return unknown('order');
  }
}

function volumeTime(test: Extract<CutTest, { test: 'volume' }>, known: Known): CutTime {
  const { estimate, phaseSinceL } = known.context;
  const toGoL = test.atLeastL - (estimate.produced.volumeL - (test.since === 'run' ? 0 : phaseSinceL));
  return afterVolume(toGoL, known);
}

export function afterVolume(toGoL: number, { flow, ahead }: Known): CutTime {
  if (flow === null) return unknown('no-flow');
  const seconds = (ahead === null ? null : whenPassed(ahead, ahead.volumeL, toGoL)) ?? toGoL / flow.litresPerS;
  return inS(seconds, sigmaOf('volume', seconds, flow));
}

export function shareTime(atLeastPercent: number, known: Known): CutTime {
  const { flow, ahead } = known;
  const { charge } = known.context.plant;
  const { produced, strengthAbv } = known.context.estimate;
  if (flow === null || charge === null) return unknown(charge === null ? 'no-charge' : 'no-flow');
  const share = alcoholSharePercent(charge, produced.alcoholL) ?? 0;
  const toGoL = ((atLeastPercent - share) / 100) * charge.volumeL * charge.strengthAbv;
  if (ahead === null) {
    if (strengthAbv === null || strengthAbv < 0.02) return unknown(known.why);
    const seconds = toGoL / (flow.litresPerS * strengthAbv);
    return inS(seconds, Math.hypot(sigmaOf('share', seconds, flow), 0.1 * seconds));
  }
  // What the count takes the strength to be, against what the march does: the cut is made on the count.
  const factor =
    strengthAbv === null ? 1 : Math.min(1.3, Math.max(0.7, strengthAbv / Math.max(0.05, ahead.strengthAbv[0] ?? 1)));
  const seconds = whenPassed(ahead, ahead.alcoholL, toGoL / factor);
  return seconds === null ? unknown('beyond') : inS(seconds, sigmaOf('share', seconds, flow));
}

function vapourTime(verdict: Verdict, known: Known): CutTime {
  const { context, ahead, vapour, vapourC } = known;
  if (vapour !== null) return vapour;
  if (verdict.kind !== 'known' || verdict.thresholdAtReferenceC === undefined) return unknown('probe');
  if (!context.frontPassed) return unknown('front');
  const wantedC = atStandard(verdict.thresholdAtReferenceC, referenceHPa(context.plant), 'vapour');
  if (ahead === null || vapourC === null || wantedC === null) return unknown(ahead === null ? known.why : 'probe');
  if (context.plant.still.kind === 'column') {
    const little = wantedC - vapourC <= littleK;
    return columnTime(ahead, known, little ? 'column' : 'front') ?? unknown('front');
  }
  return riseOf(ahead, ahead.vapourC, 'vapour', vapourC, wantedC, known);
}

/** The march begins where the probe reads: what sets the two apart now does so later. */
function riseOf(
  ahead: Ahead,
  list: readonly number[],
  kind: keyof typeof within,
  readC: number,
  wantedC: number,
  { flow, pace, context }: Known,
): CutTime {
  const shifted = wantedC - readC + (list[0] ?? 0);
  const marchedS = whenPassed(ahead, list, shifted);
  if (marchedS === null) return unknown('beyond');
  const seconds = marchedS / pace;
  const young = youngShare * Math.exp((context.phaseSinceS - context.now) / youngS);
  const sigmaS = sigmaOf(kind, seconds, flow, pace * paceAt(ahead, list, marchedS));
  return inS(seconds, Math.hypot(sigmaS, young * seconds));
}

function boilerTime(verdict: Verdict, known: Known): CutTime {
  const { context, ahead } = known;
  const { boilerTempC, pressure } = context.estimate;
  if (verdict.kind !== 'known' || verdict.thresholdAtReferenceC === undefined) return unknown('probe');
  if (ahead === null || boilerTempC === null || pressure.medianHPa === null) return unknown(known.why);
  const wantedC = atStandard(verdict.thresholdAtReferenceC, referenceHPa(context.plant), 'boiler');
  const readC = atStandard(boilerTempC, pressure.medianHPa, 'boiler');
  if (wantedC === null || readC === null) return unknown('probe');
  const kind = context.plant.still.kind === 'column' ? 'column-boiler' : 'boiler';
  return riseOf(ahead, ahead.boilerC, kind, readC, wantedC, known);
}

function parrotTime(atMostVolPercent: number, known: Known): CutTime {
  const { ahead } = known;
  const { strengthAbv } = known.context.estimate;
  if (ahead === null || strengthAbv === null) return unknown(known.why);
  const factor = (atMostVolPercent / 100 / strengthAbv) * (ahead.strengthAbv[0] ?? 0);
  const marchedS = whenPassed(ahead, ahead.strengthAbv, factor, -1);
  if (marchedS === null) return unknown('beyond');
  const seconds = marchedS / known.pace;
  return inS(seconds, sigmaOf('strength', seconds, known.flow));
}

/** Share of what the plates hold that is drawn before the top warms a little; nearly all of it before it warms much. */
const drawnAtRise = 0.5;
const drawnAtFront = 0.85;
const littleK = 1;
/** A rise that can be told from noise [K], and over how long it is looked at [s]. */
const leastRiseK = 0.05;
const riseOverS = 480;
/** A rise this far from its end grows faster still than it does now [s]. */
const trustedRiseS = 1200;

/**
 * When a column's top warms by so much above its plateau: when its plates have given up what they held; once it is seen to rise, by the pace of that
 * rise, which grows as it does.
 */
function columnTime(ahead: Ahead, { flow }: Known, until: 'column' | 'front'): InTime | null {
  const seconds = whenPassed(ahead, ahead.drawnShare, until === 'column' ? drawnAtRise : drawnAtFront);
  return seconds === null || seconds <= 0 ? null : inS(seconds, sigmaOf(until, seconds, flow));
}

/** A rise above the plateau grows by the same factor in the same time: ln(wanted / risen) / (slope / mean rise). */
function growthTime(byK: number, plateauC: number, { context }: Known): InTime | null {
  const moved = movedOver(context.estimate.recent, riseOverS, context.now);
  if (moved === null || moved.meanC - plateauC < leastRiseK || moved.changeK <= 0) return null;
  const meanK = moved.meanC - plateauC;
  const perS = moved.changeK / riseOverS / meanK;
  const seconds = Math.log(byK / meanK) / perS - riseOverS / 2;
  return inS(seconds, Math.hypot(60, 0.25 * Math.max(0, seconds) + 0.01 / (meanK * perS)));
}

/** Two tellings as one, each by its weight; apart further than they state, the uncertainty grows. */
function together(a: InTime, b: InTime): InTime {
  const [wa, wb] = [1 / a.sigmaS ** 2, 1 / b.sigmaS ** 2];
  const seconds = (wa * a.inS + wb * b.inS) / (wa + wb);
  const apart = Math.abs(a.inS - b.inS) / Math.hypot(a.sigmaS, b.sigmaS);
  return inS(seconds, Math.max(1, apart) / Math.sqrt(wa + wb));
}

function riseTime(byK: number, known: Known): CutTime {
  const { context, ahead } = known;
  const { plateauC } = context.estimate;
  if (plateauC === null || context.estimate.plateauPhase !== context.planned.step.phase) return unknown('plateau');
  if (context.plant.still.kind === 'column') {
    const growth = growthTime(byK, plateauC, known);
    const balance = ahead === null ? null : columnTime(ahead, known, 'column');
    if (growth !== null && (balance === null || growth.inS < trustedRiseS)) {
      return balance === null ? growth : together(growth, balance);
    }
    return balance ?? unknown(ahead === null ? known.why : 'front');
  }
  const standardC = atStandard(plateauC + byK, referenceHPa(context.plant), 'vapour');
  if (ahead === null || known.vapourC === null || standardC === null) return unknown(known.why);
  return riseOf(ahead, ahead.vapourC, 'vapour', known.vapourC, standardC, known);
}
