import type { Reason } from '../engine/types';

/** What is known of a charge and a still before a run; null where nobody has measured or written it down. */
export interface Preparation {
  readonly still: string;
  readonly chargeL: number | null;
  readonly chargeVolPercent: number | null;
  readonly heaterW: number | null;
  readonly takeOffLPerH: number | null;
  /** Feints of earlier runs in the charge, share of its alcohol [%]. */
  readonly feintsSharePercent: number | null;
  readonly coolantLPerH: number | null;
  readonly coolantInC: number | null;
  /** Where the vapour probe sits, as the distiller calls it. */
  readonly probeWell: string | null;
  /** What the calibration of the probe is known by: its date, or the hash of its constants. */
  readonly probeCalibration: string | null;
  readonly foreshotsL: number | null;
}

export const readinessItems = [
  'charge-strength',
  'charge-volume',
  'heat',
  'take-off',
  'feints',
  'coolant-flow',
  'coolant-temp',
  'probe-well',
  'probe-calibration',
  'foreshots',
] as const;
export type ReadinessItem = (typeof readinessItems)[number];

/** One thing that makes a run repeat another. */
export interface ReadinessLine {
  readonly item: ReadinessItem;
  readonly weight: number;
  /** 1 within the tolerance, 0 at four times it; half where it is not known. */
  readonly score: number;
  readonly state: 'same' | 'different' | 'unknown' | 'not-comparable';
  readonly reason: Reason;
}

/** How alike a run is likely to be to its reference, before it starts. */
export interface Readiness {
  /** 0 to 100. */
  readonly score: number;
  readonly verdict: 'alike' | 'near' | 'different';
  readonly lines: readonly ReadinessLine[];
}

interface Rule {
  readonly item: ReadinessItem;
  readonly weight: number;
  readonly tolerance: number;
  /** Field ending of the numbers, so that they are worded with their unit. */
  readonly unit: 'VolPercent' | 'L' | 'W' | 'LPerH' | 'Percent' | 'C';
  /** Compared relative to the reference [%], or as the difference. */
  readonly relative: boolean;
  readonly value: (one: Preparation) => number | null;
  /** Divided by it where the run is on another still. */
  readonly per?: (one: Preparation) => number | null;
}

const alcoholOf = (one: Preparation) =>
  one.chargeL === null || one.chargeVolPercent === null ? null : (one.chargeL * one.chargeVolPercent) / 100;

/*
 * Tolerances of a run that repeats another: charge strength 0.3 % vol, volume 1 %, heat and take-off 3 %, the same feints, coolant, probe well and
 * foreshots. Weights and the tolerances of the last ones are our own.
 */
const rules: readonly Rule[] = [
  {
    item: 'charge-strength',
    weight: 25,
    tolerance: 0.3,
    unit: 'VolPercent',
    relative: false,
    value: (one) => one.chargeVolPercent,
  },
  { item: 'charge-volume', weight: 10, tolerance: 1, unit: 'L', relative: true, value: (one) => one.chargeL },
  {
    item: 'heat',
    weight: 20,
    tolerance: 3,
    unit: 'W',
    relative: true,
    value: (one) => one.heaterW,
    per: (one) => one.chargeL,
  },
  {
    item: 'take-off',
    weight: 10,
    tolerance: 3,
    unit: 'LPerH',
    relative: true,
    value: (one) => one.takeOffLPerH,
    per: (one) => one.chargeL,
  },
  {
    item: 'feints',
    weight: 10,
    tolerance: 2,
    unit: 'Percent',
    relative: false,
    value: (one) => one.feintsSharePercent,
  },
  {
    item: 'coolant-flow',
    weight: 3,
    tolerance: 10,
    unit: 'LPerH',
    relative: true,
    value: (one) => one.coolantLPerH,
    per: (one) => one.chargeL,
  },
  { item: 'coolant-temp', weight: 2, tolerance: 3, unit: 'C', relative: false, value: (one) => one.coolantInC },
  {
    item: 'foreshots',
    weight: 8,
    tolerance: 5,
    unit: 'L',
    relative: true,
    value: (one) => one.foreshotsL,
    per: alcoholOf,
  },
];

const sameThings: readonly { item: ReadinessItem; weight: number; value: (one: Preparation) => string | null }[] = [
  { item: 'probe-well', weight: 7, value: (one) => one.probeWell },
  { item: 'probe-calibration', weight: 5, value: (one) => one.probeCalibration },
];

function line(
  item: ReadinessItem,
  weight: number,
  state: ReadinessLine['state'],
  score: number,
  numbers: Reason['numbers'],
): ReadinessLine {
  return { item, weight, score, state, reason: { code: `compare.ready-${item}-${state}`, numbers } };
}

function judgeNumber(rule: Rule, reference: Preparation, planned: Preparation, elsewhere: boolean): ReadinessLine {
  const was = rule.value(reference);
  const is = rule.value(planned);
  if (elsewhere && rule.item === 'charge-volume') return line(rule.item, 0, 'not-comparable', 1, {});
  if (was === null || is === null) return line(rule.item, rule.weight, 'unknown', 0.5, {});
  const [wasPer, isPer] = elsewhere && rule.per !== undefined ? [rule.per(reference), rule.per(planned)] : [1, 1];
  if (wasPer === null || isPer === null || !(wasPer > 0) || !(isPer > 0))
    return line(rule.item, rule.weight, 'unknown', 0.5, {});
  const expected = (was / wasPer) * isPer;
  const apart = rule.relative ? (expected === 0 ? (is === 0 ? 0 : 100) : 100 * (is / expected - 1)) : is - expected;
  // What people write down is rounded; a difference equal to the tolerance still is the same.
  const times = Math.abs(apart) / rule.tolerance;
  const same = times <= 1 + 1e-9;
  const score = same ? 1 : Math.max(0, 1 - (times - 1) / 3);
  const numbers = {
    [`reference${rule.unit}`]: expected,
    [`planned${rule.unit}`]: is,
    ...(rule.relative
      ? { apartPercent: apart, tolerancePercent: rule.tolerance }
      : { [apartField(rule.unit)]: apart, [apartField(rule.unit, 'tolerance')]: rule.tolerance }),
  };
  return line(rule.item, rule.weight, same ? 'same' : 'different', score, numbers);
}

function apartField(unit: Rule['unit'], word = 'apart'): string {
  return `${word}${unit === 'C' ? 'K' : unit}`;
}

/**
 * Scores how alike a run will be to the run its recipe came from, before it starts, and says what differs.
 *
 * Each item counts full within its tolerance and nothing at four times it; what is not known counts half. On another still heat, take-off, coolant and
 * foreshots are compared per litre of charge (foreshots per litre of its alcohol), and the charge's volume not at all.
 *
 * @param reference how the reference run was prepared
 * @param planned how this one is
 * @returns score 0..100 (alike from 90, near from 70), and a line an item, the most costly first
 * Source: tolerances for a repeated run are common practice; weights are our own.
 */
export function judgeReadiness(reference: Preparation, planned: Preparation): Readiness {
  const elsewhere = reference.still !== planned.still;
  const numbers = rules.map((rule) => judgeNumber(rule, reference, planned, elsewhere));
  const things = sameThings.map(({ item, weight, value }) => {
    const was = value(reference);
    const is = value(planned);
    if (was === null || is === null) return line(item, weight, 'unknown', 0.5, {});
    return line(item, weight, was === is ? 'same' : 'different', was === is ? 1 : 0, { reference: was, planned: is });
  });
  const lines = [...numbers, ...things].sort((a, b) => b.weight * (1 - b.score) - a.weight * (1 - a.score));
  const weight = lines.reduce((sum, one) => sum + one.weight, 0);
  const score = (100 * lines.reduce((sum, one) => sum + one.weight * one.score, 0)) / weight;
  return { score, verdict: score >= 90 ? 'alike' : score >= 70 ? 'near' : 'different', lines };
}
