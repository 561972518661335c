import { shiftVapourTemp } from '../physics';
import type { CutPlace } from './cut-places';
import type { Changeover, SheetFigures } from './figures';
import { type PotFit, potSensitivity } from './pot-fit';

/** How nearly the next run will be the same; each is a limit either way. */
export interface Repeat {
  readonly chargeStrengthVolPercent: number;
  readonly chargeVolumePercent: number;
  readonly heatPercent: number;
  /** Within which the vapour probe is right [K]; for the same probe in the same well only its drift. */
  readonly probeK: number;
  readonly airPressureHPa: number;
  /** Of the volumes collected and of the strength of the distillate, for the share come over. */
  readonly meterPercent: number;
  readonly distillateVolPercent: number;
}

/** What makes a run repeat another: our figures of a careful stillroom. */
export const carefulRepeat = {
  chargeStrengthVolPercent: 0.3,
  chargeVolumePercent: 1,
  heatPercent: 3,
  meterPercent: 1,
  distillateVolPercent: 0.5,
} as const;

export type Cause =
  | 'probe-resolution'
  | 'probe-calibration'
  | 'air-pressure'
  | 'charge-strength'
  | 'heating'
  | 'charge-volume'
  | 'volume-collected'
  | 'distillate-strength';

/** One cause and how far it moves the cut, as a limit either way; null where the other axis cannot be told. */
export interface SharpnessPart {
  readonly cause: Cause;
  readonly kelvin: number | null;
  readonly sharePercent: number | null;
}

/** How far a cut may move, about 95 % of the time, on three axes. */
export interface Spread {
  readonly kelvin: number | null;
  /** Of the charge's alcohol. */
  readonly sharePercent: number | null;
  readonly volumeL: number | null;
  readonly parts: readonly SharpnessPart[];
}

/** How sharp a cut is: made by temperature, made by share, and as it was tasted. */
export interface Sharpness {
  /** Rise of the vapour at the cut [K per % of the charge's alcohol]; null where temperature does not tell. */
  readonly slopeKPerPercent: number | null;
  readonly slopeFrom: 'jars' | 'model' | 'none';
  readonly byTemperature: Spread;
  readonly byShare: Spread;
  /** The taste changed somewhere within these jars: from the middle of the last one out to the middle of the first one in. */
  readonly tasted: {
    readonly kelvin: number | null;
    readonly sharePercent: number | null;
    readonly volumeL: number | null;
  };
}

interface Slope {
  readonly kPerPercent: number | null;
  readonly from: Sharpness['slopeFrom'];
}

const leastSlope = 0.003;

/** Slope through the changeovers about the cut; the model's where the probe is too coarse for the jars. */
function slopeAt(figures: SheetFigures, place: CutPlace, fit: PotFit | null): Slope {
  const near = figures.changeovers
    .slice(Math.max(0, place.changeover - 2), place.changeover + 3)
    .filter(
      (one): one is Changeover & { sharePercent: number; vapourAtReferenceC: number } =>
        one.sharePercent !== null && one.vapourAtReferenceC !== null,
    );
  const model =
    fit?.basis === 'fitted' && place.sharePercent !== null
      ? potSensitivity(fit, place.sharePercent).slopeKPerPercent
      : null;
  if (near.length < 2)
    return model === null ? { kPerPercent: null, from: 'none' } : { kPerPercent: model, from: 'model' };
  const meanShare = near.reduce((sum, one) => sum + one.sharePercent, 0) / near.length;
  const spread = near.reduce((sum, one) => sum + (one.sharePercent - meanShare) ** 2, 0);
  const rise = near.reduce((sum, one) => sum + (one.sharePercent - meanShare) * one.vapourAtReferenceC, 0);
  const slope = spread > 0 ? rise / spread : 0;
  const uncertain = spread > 0 ? figures.sheet.probe.resolutionK / Math.sqrt(12 * spread) : Number.POSITIVE_INFINITY;
  if (model !== null && model > leastSlope && uncertain > 0.25 * Math.abs(slope))
    return { kPerPercent: model, from: 'model' };
  return slope > leastSlope ? { kPerPercent: slope, from: 'jars' } : { kPerPercent: null, from: 'none' };
}

/** Litres that carry one per cent of the charge's alcohol at the cut. */
function litresPerPercent(figures: SheetFigures, place: CutPlace): number | null {
  const before = figures.changeovers[place.changeover - 1];
  const after = figures.changeovers[place.changeover + 1];
  const here = figures.changeovers[place.changeover];
  const low = before ?? here;
  const high = after ?? here;
  if (low?.atL == null || high?.atL == null || low.sharePercent === null || high.sharePercent === null) return null;
  const share = high.sharePercent - low.sharePercent;
  return share > 0 ? (high.atL - low.atL) / share : null;
}

/** Limits taken as rectangular and put together; twice the standard deviation. */
function together(limits: readonly (number | null)[]): number | null {
  if (limits.some((limit) => limit === null)) return null;
  return 2 * Math.sqrt(limits.reduce<number>((sum, limit) => sum + limit! ** 2 / 3, 0));
}

function spreadOf(parts: readonly SharpnessPart[], lPerPercent: number | null): Spread {
  const sharePercent = together(parts.map((part) => part.sharePercent));
  return {
    kelvin: together(parts.map((part) => part.kelvin)),
    sharePercent,
    volumeL: sharePercent === null || lPerPercent === null ? null : sharePercent * lPerPercent,
    parts,
  };
}

/** Repeat as the sheet's own probe and barometer have it, the rest careful; single figures may be given otherwise. */
export function repeatOf(figures: SheetFigures, over: Partial<Repeat> = {}): Repeat {
  const { probe, airPressure } = figures.sheet;
  const reducedHPa = airPressure.basis === 'sea-level' ? 4 : 0;
  return {
    ...carefulRepeat,
    probeK: probe.accuracyK,
    airPressureHPa: Math.hypot(airPressure.accuracyHPa, reducedHPa),
    ...over,
  };
}

/**
 * How sharp a cut is when the run is repeated: by temperature alone, and by the share of the charge's alcohol.
 *
 * Limits in kelvin (probe step and calibration, air pressure, charge strength, heating) over the slope of the vapour give the share; limits in share
 * (charge, volumes, strength) times the slope give the kelvin. Limits are rectangular, added in quadrature, coverage 2.
 *
 * @param figures a sheet worked out
 * @param place the cut
 * @param fit pot course of the sheet; null for a column, where charge and heating are then left out
 * @param repeat how nearly the next run will be the same
 * @returns both spreads with their causes, and the width within which it was tasted
 * Accuracy: about a fifth, as the pot course.
 * Source: JCGM 100:2008 (GUM), 4.3.7 and 5.1.2.
 */
export function sharpnessOf(figures: SheetFigures, place: CutPlace, fit: PotFit | null, repeat: Repeat): Sharpness {
  const slope = slopeAt(figures, place, fit);
  const toShare = (kelvin: number) => (slope.kPerPercent === null ? null : kelvin / slope.kPerPercent);
  const toKelvin = (share: number | null) =>
    share === null || slope.kPerPercent === null ? null : share * slope.kPerPercent;
  const lPerPercent = litresPerPercent(figures, place);
  const inKelvin = (cause: Cause, kelvin: number): SharpnessPart => ({ cause, kelvin, sharePercent: toShare(kelvin) });
  const inShare = (cause: Cause, share: number): SharpnessPart => ({
    cause,
    kelvin: toKelvin(share),
    sharePercent: share,
  });
  const temperature = [
    inKelvin('probe-resolution', figures.sheet.probe.resolutionK / 2),
    inKelvin('probe-calibration', repeat.probeK),
    inKelvin('air-pressure', Math.abs(pressureK(place, repeat.airPressureHPa))),
  ];
  if (fit !== null && place.sharePercent !== null) {
    const pot = potSensitivity(fit, place.sharePercent);
    temperature.push(
      inKelvin('charge-strength', Math.abs(pot.perVolPercentK) * repeat.chargeStrengthVolPercent),
      inKelvin('heating', Math.abs(pot.perHeatPercentK) * repeat.heatPercent),
    );
  }
  const share = place.sharePercent;
  const { charge } = figures.sheet;
  const byShare =
    share === null
      ? []
      : [
          inShare('charge-volume', (share * repeat.chargeVolumePercent) / 100),
          inShare('charge-strength', (share * repeat.chargeStrengthVolPercent) / charge.strengthVolPercent),
          inShare('volume-collected', (share * repeat.meterPercent) / 100),
          inShare(
            'distillate-strength',
            (share * repeat.distillateVolPercent) / (100 * Math.max(0.1, place.strengthAbv)),
          ),
        ];
  const unknown: Spread = { kelvin: null, sharePercent: null, volumeL: null, parts: [] };
  return {
    slopeKPerPercent: slope.kPerPercent,
    slopeFrom: slope.from,
    byTemperature: spreadOf(temperature, lPerPercent),
    byShare: share === null ? unknown : spreadOf(byShare, lPerPercent),
    tasted: tastedWidth(figures, place),
  };
}

function pressureK(place: CutPlace, errorHPa: number): number {
  const movedHPa = place.stationHPa > 1000 ? place.stationHPa - errorHPa : place.stationHPa + errorHPa;
  return shiftVapourTemp(place.readC, place.stationHPa, movedHPa) - place.readC;
}

/** Half of the jar on either side of the cut; unsure jars beside it count whole. */
function tastedWidth(figures: SheetFigures, place: CutPlace): Sharpness['tasted'] {
  const { jars, changeovers } = figures;
  const outside = place.cut === 'heads' ? -1 : 1;
  let edge = place.cut === 'heads' ? place.changeover - 1 : place.changeover;
  while (jars[edge]?.verdict === 'unsure') edge += outside;
  const between = (field: 'atL' | 'sharePercent' | 'vapourAtReferenceC') => {
    const middle = (jar: number) => {
      const low = changeovers[jar]?.[field];
      const high = changeovers[jar + 1]?.[field];
      return low == null || high == null ? null : (low + high) / 2;
    };
    const here = changeovers[place.changeover]?.[field] ?? null;
    const inner = middle(place.cut === 'heads' ? place.changeover : place.changeover - 1);
    const outer = jars[edge] === undefined ? here : middle(edge);
    return inner === null || outer === null ? null : Math.abs(inner - outer);
  };
  return { kelvin: between('vapourAtReferenceC'), sharePercent: between('sharePercent'), volumeL: between('atL') };
}
