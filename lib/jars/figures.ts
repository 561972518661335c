import {
  abvFromMassFraction,
  abvFromMoleFraction,
  massFractionFromAbv60F,
  shiftBoilerTemp,
  shiftVapourTemp,
  standardAirPressureHPa,
  stationPressureHPa,
  vapourAtDewTemp,
} from '../physics';
import { type Problem, problem } from '../problems';
import { correctHydrometer, pureAlcoholL } from '../proofing';
import type { ChangeoverReading, Jar, Sheet, Verdict } from './sheet';
import { type Consensus, consensusOf } from './tasting';

/** The state of the run when jar `index` was full and the next begun; index 0 is the start of jar 1. */
export interface Changeover {
  readonly index: number;
  /** Collected since the first drop [L as measured]; null where a volume is missing. */
  readonly atL: number | null;
  readonly timeS: number | null;
  /** Corrected by the probe's calibration, at the pressure of the day. */
  readonly vapourC: number | null;
  readonly stationHPa: number | null;
  readonly vapourAtReferenceC: number | null;
  readonly boilerAtReferenceC: number | null;
  /** Alcohol come over [L pure at 20 °C] and as a share of the charge's. */
  readonly alcoholL: number | null;
  readonly sharePercent: number | null;
}

/** A jar with its arithmetic done. */
export interface JarFigures {
  readonly number: number;
  readonly volumeL: number | null;
  readonly sampleTempC: number;
  /** True strength at 20 °C. */
  readonly strengthAbv: number | null;
  /** Measured, or estimated from the vapour temperature at both ends. */
  readonly strengthBy: 'measured' | 'vapour' | 'none';
  readonly alcoholL: number | null;
  readonly sharePercent: number | null;
  readonly verdict: Verdict;
  readonly consensus: Consensus;
}

/** A jar sheet worked out: every figure at the reference pressure and on the axis of volume and of the charge's alcohol. */
export interface SheetFigures {
  readonly sheet: Sheet;
  readonly referenceHPa: number;
  readonly chargeAlcoholL: number;
  readonly jars: readonly JarFigures[];
  /** One more than there are jars. */
  readonly changeovers: readonly Changeover[];
  /** Foreshots taken before jar 1. */
  readonly beforeAlcoholL: number | null;
  /** What could not be worked out, and what had to be guessed. */
  readonly problems: readonly Problem[];
}

/** Corrected vapour temperature from one as read [°C]. */
export function correctedVapourC(sheet: Sheet, readC: number): number {
  return sheet.probe.gain * readC + sheet.probe.offsetK;
}

/** Station pressure from one as the sheet states it [hPa]. */
function stationOf(sheet: Sheet, writtenHPa: number): number {
  const { basis, altitudeM } = sheet.airPressure;
  return basis === 'sea-level' ? stationPressureHPa(writtenHPa, altitudeM ?? 0) : writtenHPa;
}

/** What was read at changeover `index`: at the end of the jar before, field by field completed by the start of the next. */
export function readingAt(sheet: Sheet, index: number): ChangeoverReading {
  return { ...sheet.jars[index]?.start, ...sheet.jars[index - 1]?.end };
}

/** Air pressure at every changeover; where it was not written down, on the straight line between those that were. */
function pressuresHPa(sheet: Sheet): readonly (number | null)[] {
  const written = Array.from({ length: sheet.jars.length + 1 }, (_, index) => {
    const pressureHPa = readingAt(sheet, index).airPressureHPa;
    return pressureHPa === undefined ? null : stationOf(sheet, pressureHPa);
  });
  return written.map((value, index) => {
    if (value !== null) return value;
    const before = written.findLastIndex((one, at) => at < index && one !== null);
    const after = written.findIndex((one, at) => at > index && one !== null);
    if (before < 0) return after < 0 ? null : written[after]!;
    if (after < 0) return written[before]!;
    return written[before]! + ((written[after]! - written[before]!) * (index - before)) / (after - before);
  });
}

/** Strength by the vapour that gave it [0..1]: what its dew point says, on the water side of the azeotrope. */
export function strengthOfVapour(vapourAtReferenceC: number, referenceHPa: number): number {
  return abvFromMoleFraction(vapourAtDewTemp(vapourAtReferenceC, referenceHPa));
}

function measuredStrength(sheet: Sheet, jar: Jar, path: string): { strengthAbv: number | null; problems: Problem[] } {
  if (jar.strengthVolPercent === undefined) return { strengthAbv: null, problems: [] };
  const readingAbv = jar.strengthVolPercent / 100;
  const { reading, basis } = sheet.strength;
  if (reading === 'true') {
    const strengthAbv = basis === '20C' ? readingAbv : abvFromMassFraction(massFractionFromAbv60F(readingAbv));
    return { strengthAbv, problems: [] };
  }
  const corrected = correctHydrometer({ readingAbv, tempC: jar.sampleTempC ?? 20, basis });
  if (corrected.kind === 'ok') return { strengthAbv: corrected.value.strengthAbv, problems: [] };
  const problems = corrected.problems.map((one) =>
    problem(`${path}.strengthVolPercent`, jar.strengthVolPercent, one.message, one.remedy),
  );
  return { strengthAbv: null, problems };
}

interface Strength {
  readonly strengthAbv: number | null;
  readonly strengthBy: JarFigures['strengthBy'];
}

function byVapour(temps: readonly (number | null)[], referenceHPa: number): Strength {
  const known = temps.filter((one): one is number => one !== null && Number.isFinite(one));
  if (known.length === 0) return { strengthAbv: null, strengthBy: 'none' };
  const sum = known.reduce((total, tempC) => total + strengthOfVapour(tempC, referenceHPa), 0);
  return { strengthAbv: sum / known.length, strengthBy: 'vapour' };
}

/**
 * Works a jar sheet out: probe and hydrometer corrected, pressure taken back to the station, temperatures moved to the reference pressure, volumes
 * and alcohol summed up.
 *
 * @param sheet a checked sheet
 * @param referenceHPa reference pressure [hPa, 500..1100]; 1013.25 unless given
 * @returns figures jar by jar and changeover by changeover; null where the sheet does not say
 * Accuracy: that of the readings. A strength that was not measured is estimated from the vapour temperature at both ends, and marked so.
 * Source: lib/physics for the shift, lib/proofing for strength and alcohol.
 */
export function workOut(sheet: Sheet, referenceHPa: number = standardAirPressureHPa): SheetFigures {
  const problems: Problem[] = [];
  const pressures = pressuresHPa(sheet);
  const temps = pressures.map((stationHPa, index) => temperaturesAt(sheet, index, stationHPa, referenceHPa));
  const { charge } = sheet;
  const chargeAlcoholL = pureAlcoholL(charge.volumeL, charge.strengthVolPercent / 100, charge.tempC);
  const strengths = sheet.jars.map((jar, index): Strength => {
    const measured = measuredStrength(sheet, jar, `jars.${index}`);
    problems.push(...measured.problems);
    if (measured.strengthAbv !== null) return { strengthAbv: measured.strengthAbv, strengthBy: 'measured' };
    return byVapour([temps[index]!.vapourAtReferenceC, temps[index + 1]!.vapourAtReferenceC], referenceHPa);
  });
  const jars = sheet.jars.map((jar, index) => jarFigures(jar, strengths[index]!, chargeAlcoholL));
  const beforeAbv =
    sheet.beforeJarsVolPercent === undefined ? (strengths[0]?.strengthAbv ?? null) : sheet.beforeJarsVolPercent / 100;
  const beforeAlcoholL =
    sheet.beforeJarsL === 0 ? 0 : beforeAbv === null ? null : pureAlcoholL(sheet.beforeJarsL, beforeAbv);
  let atL: number | null = sheet.beforeJarsL;
  let alcoholL: number | null = beforeAlcoholL;
  const changeovers = temps.map((temp, index): Changeover => {
    const jar = jars[index - 1];
    if (jar !== undefined) {
      atL = atL === null || jar.volumeL === null ? null : atL + jar.volumeL;
      alcoholL = alcoholL === null || jar.alcoholL === null ? null : alcoholL + jar.alcoholL;
    }
    const sharePercent = alcoholL === null ? null : (100 * alcoholL) / chargeAlcoholL;
    return { index, atL, timeS: readingAt(sheet, index).timeS ?? null, ...temp, alcoholL, sharePercent };
  });
  return { sheet, referenceHPa, chargeAlcoholL, jars, changeovers, beforeAlcoholL, problems };
}

function temperaturesAt(sheet: Sheet, index: number, stationHPa: number | null, referenceHPa: number) {
  const read = readingAt(sheet, index);
  const vapourC = read.vapourTempC === undefined ? null : correctedVapourC(sheet, read.vapourTempC);
  const boilerC = read.boilerTempC === undefined ? null : read.boilerTempC + sheet.probe.boilerOffsetK;
  const shifted = (tempC: number | null, shift: typeof shiftVapourTemp) =>
    tempC === null || stationHPa === null ? null : numberOrNull(shift(tempC, stationHPa, referenceHPa));
  return {
    vapourC,
    stationHPa,
    vapourAtReferenceC: shifted(vapourC, shiftVapourTemp),
    boilerAtReferenceC: shifted(boilerC, shiftBoilerTemp),
  };
}

function numberOrNull(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

function jarFigures(jar: Jar, strength: Strength, chargeAlcoholL: number): JarFigures {
  const sampleTempC = jar.sampleTempC ?? 20;
  const judged = consensusOf(jar);
  const alcoholL =
    jar.volumeL === undefined || strength.strengthAbv === null
      ? null
      : numberOrNull(pureAlcoholL(jar.volumeL, strength.strengthAbv, sampleTempC));
  return {
    number: jar.number,
    volumeL: jar.volumeL ?? null,
    sampleTempC,
    ...strength,
    alcoholL,
    sharePercent: alcoholL === null ? null : (100 * alcoholL) / chargeAlcoholL,
    verdict: judged.verdict,
    consensus: judged,
  };
}

/** A moment of the run between changeovers. */
export interface Moment {
  readonly atL: number;
  readonly vapourAtReferenceC: number | null;
  readonly boilerAtReferenceC: number | null;
  readonly sharePercent: number | null;
  readonly timeS: number | null;
}

function between(a: number | null, b: number | null, place: number): number | null {
  if (place === 0) return a;
  if (place === 1) return b;
  return a === null || b === null ? null : a + place * (b - a);
}

/**
 * The run at a collected volume, on straight lines between changeovers; at a changeover exactly what was read there.
 *
 * @param atL collected since the first drop [L]; clamped to the jars
 * @returns null where volumes are missing
 */
export function momentAt(figures: SheetFigures, atL: number): Moment | null {
  const { changeovers } = figures;
  for (let i = 1; i < changeovers.length; i++) {
    const before = changeovers[i - 1]!;
    const after = changeovers[i]!;
    if (before.atL === null || after.atL === null) return null;
    if (atL > after.atL && i < changeovers.length - 1) continue;
    const place = Math.min(1, Math.max(0, (atL - before.atL) / (after.atL - before.atL)));
    return {
      atL: before.atL + place * (after.atL - before.atL),
      vapourAtReferenceC: between(before.vapourAtReferenceC, after.vapourAtReferenceC, place),
      boilerAtReferenceC: between(before.boilerAtReferenceC, after.boilerAtReferenceC, place),
      sharePercent: between(before.sharePercent, after.sharePercent, place),
      timeS: between(before.timeS, after.timeS, place),
    };
  }
  return null;
}
