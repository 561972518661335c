import * as psychrolib from 'psychrolib';
import {
  abvFromMassFraction,
  bubblePoint,
  compileShift,
  densityKgM3,
  massFractionFromAbv,
  massFractionFromAbv60F,
  shiftBoilerTemp,
  shiftVapourTemp,
  standardPressureHPa,
  thresholdAt,
} from '../../lib/physics';
import { correctHydrometer, hydrometerReadingAbv } from '../../lib/proofing';
import { celsiusFromFahrenheit } from '../../lib/units';
import barrDavidDodge from './data/barr-david-dodge-1959.json';
import careyLewis from './data/carey-lewis-1932.json';
import table1 from './data/cfr-27-30-table-1.json';
import dilution from './data/ethanol-dilution-table.json';
import isotherm323 from './data/isotherm-323k.json';
import isotherm333 from './data/isotherm-333k.json';
import kamihama from './data/kamihama-2012.json';
import kirschbaum from './data/kirschbaum-1939.json';
import lange from './data/lange-nbs.json';
import liu from './data/liu-2012.json';
import pembertonMash from './data/pemberton-mash-1978.json';
import receipts from './data/practical-receipts-table-55.json';
import pureEthanol from './data/pure-ethanol-densities.json';
import usp from './data/usp-alcoholometric-table.json';
import voutsas from './data/voutsas-2011.json';
import { type EquilibriumSet, type Residual, residualsOf } from './equilibrium-set';
import { okValue } from './ok-value';

/** All published equilibrium sets, in the order of the table. */
export const equilibriumSets: readonly (EquilibriumSet & { readonly name: string })[] = [
  { name: 'Kamihama 2012, 1013 hPa', ...kamihama },
  { name: 'isotherm 60 °C, 317–471 hPa', ...isotherm333 },
  { name: 'isotherm 50 °C, 203–296 hPa', ...isotherm323 },
  { name: 'Voutsas 2011, 329 hPa', ...voutsas },
  { name: 'Kirschbaum 1939, 333 hPa', ...kirschbaum },
  { name: 'Pemberton & Mash 1978, 30 °C, 44–105 hPa', ...pembertonMash },
  { name: 'Liu 2012, 1013 hPa (scattered)', ...liu },
  { name: 'Barr-David & Dodge 1959, 150 °C, 5.6–9.9 bar (outside)', ...barrDavidDodge },
];

const bands = [
  [0, 0.03],
  [0.03, 0.1],
  [0.1, 0.3],
  [0.3, 0.6],
  [0.6, 1],
] as const;

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** The handbook's table as residuals; temperatures and vapours are listed apart there. */
function careyLewisResiduals(): { temps: readonly Residual[]; vapours: readonly Residual[] } {
  const temps = careyLewis.temps.map(({ x, tempC }) => ({
    x,
    tempK: bubblePoint(x, 1013.25).tempC - tempC,
    y: Number.NaN,
  }));
  const vapours = careyLewis.vapours.map(({ x, y }) => ({ x, tempK: Number.NaN, y: bubblePoint(x, 1013.25).y - y }));
  return { temps, vapours };
}

/** Scatter between published sets in one band of x: greatest difference of their mean distances from the model. */
export interface Scatter {
  readonly from: number;
  readonly to: number;
  readonly atmosphereK: number;
  readonly atmosphereY: number;
  readonly thirdK: number;
  readonly thirdY: number;
}

export function scatterBetweenSets(): readonly Scatter[] {
  const handbook = careyLewisResiduals();
  const modern = residualsOf(kamihama);
  const scattered = residualsOf(liu);
  const third = [residualsOf(voutsas), residualsOf(kirschbaum)];
  return bands.map(([from, to]) => {
    const spread = (sets: readonly (readonly Residual[])[], pick: (residual: Residual) => number) => {
      const means = sets
        .map((set) => set.filter(({ x }) => x >= from && x < to).map(pick))
        .filter((values) => values.length > 0)
        .map(meanOf);
      return means.length < 2 ? Number.NaN : Math.max(...means) - Math.min(...means);
    };
    return {
      from,
      to,
      atmosphereK: spread([handbook.temps, modern, scattered], ({ tempK }) => tempK),
      atmosphereY: spread([handbook.vapours, modern, scattered], ({ y }) => y),
      thirdK: spread(third, ({ tempK }) => tempK),
      thirdY: spread(third, ({ y }) => y),
    };
  });
}

/** One line of the alcoholometry table. */
export interface AlcoholometryLine {
  readonly name: string;
  readonly points: number;
  readonly worst: number;
  readonly tolerance: number;
  readonly unit: string;
}

function worstOf(errors: readonly number[]): number {
  return Math.max(...errors.map(Math.abs));
}

function densityLines(): readonly AlcoholometryLine[] {
  const at20 = dilution.points.map(
    (point) => densityKgM3(massFractionFromAbv(point.strengthPercentVol / 100), 20) - point.densityKgM3,
  );
  const pure = pureEthanol.points.map((point) => densityKgM3(1, point.tempC) - point.densityKgM3);
  const handbook = lange.points.map((point) => densityKgM3(point.massPercent / 100, point.tempC) - point.densityKgM3);
  const mass = usp.massFromVolume.map(
    (point) => 100 * massFractionFromAbv60F(point.strengthPercentVol60F / 100) - point.massPercent,
  );
  const unit = 'kg/m³';
  return [
    {
      name: 'density at 20 °C, ethanol dilution table',
      points: at20.length,
      worst: worstOf(at20),
      tolerance: 0.01,
      unit,
    },
    { name: 'density of ethanol, 5–40 °C', points: pure.length, worst: worstOf(pure), tolerance: 0.01, unit },
    {
      name: 'density, 10–30 °C, handbook (NBS)',
      points: handbook.length,
      worst: worstOf(handbook),
      tolerance: 0.1,
      unit,
    },
    {
      name: 'mass from volume at 60 °F, USP',
      points: mass.length,
      worst: worstOf(mass),
      tolerance: 0.01,
      unit: '% mass',
    },
  ];
}

function instrumentLines(): readonly AlcoholometryLine[] {
  const proofs = table1.points.map((point) => {
    const tempC = celsiusFromFahrenheit(point.tempF);
    return (
      okValue(correctHydrometer({ readingAbv: point.hydrometerProof / 200, tempC, basis: '60F' })).proofUs -
      point.trueProof
    );
  });
  const historic = receipts.points.map((point) => {
    const fraction = massFractionFromAbv60F(point.truePercentVol60F / 100);
    return 100 * hydrometerReadingAbv(fraction, celsiusFromFahrenheit(point.tempF), '60F') - point.shownPercentVol;
  });
  return [
    { name: 'true proof, 27 CFR 30', points: proofs.length, worst: worstOf(proofs), tolerance: 0.05, unit: 'proof' },
    {
      name: 'alcoholometer 30–85 °F, 19th-century table',
      points: historic.length,
      worst: worstOf(historic),
      tolerance: 0.2,
      unit: '% vol',
    },
  ];
}

export function alcoholometryLines(): readonly AlcoholometryLine[] {
  return [...densityLines(), ...instrumentLines()];
}

/** Worst difference from psychrolib's standard atmosphere up to 5000 m [hPa]. */
export function atmosphereDifferenceHPa(): number {
  psychrolib.SetUnitSystem(psychrolib.SI);
  let worst = 0;
  for (let altitudeM = 0; altitudeM <= 5000; altitudeM += 100) {
    worst = Math.max(
      worst,
      Math.abs(standardPressureHPa(altitudeM) - psychrolib.GetStandardAtmPressure(altitudeM) / 100),
    );
  }
  return worst;
}

/** The usual rule of thumb: 0.035 K for each mmHg. */
export const constantSlopeKPerHPa = 0.035 / 1.33322387415;

/** How much the constant slope moves a threshold too far: rule less exact shift from 1013.25 hPa [K]. */
export function slopeErrorK(line: 'vapour' | 'boiler', thresholdC: number, pressureHPa: number): number {
  const exact = line === 'vapour' ? shiftVapourTemp : shiftBoilerTemp;
  return thresholdC + constantSlopeKPerHPa * (pressureHPa - 1013.25) - exact(thresholdC, 1013.25, pressureHPa);
}

/** Worst error of the prepared curve and of the round trip, over a grid of thresholds and pressures [K]. */
export function shiftErrors(): { readonly curveK: number; readonly roundTripK: number } {
  let curveK = 0;
  let roundTripK = 0;
  for (const line of ['vapour', 'boiler'] as const) {
    const shift = line === 'vapour' ? shiftVapourTemp : shiftBoilerTemp;
    for (const referenceHPa of [500, 700, 900, 1013.25, 1100]) {
      for (let thresholdC = 56; thresholdC <= 110; thresholdC += 1.5) {
        const curve = compileShift(thresholdC, referenceHPa, line);
        for (let pressureHPa = 500; pressureHPa <= 1100; pressureHPa += 7.3) {
          const exactC = shift(thresholdC, referenceHPa, pressureHPa);
          curveK = Math.max(curveK, Math.abs(thresholdAt(curve, pressureHPa) - exactC));
          roundTripK = Math.max(roundTripK, Math.abs(shift(exactC, pressureHPa, referenceHPa) - thresholdC));
        }
      }
    }
  }
  return { curveK, roundTripK };
}

/** Worst round trip of strength by volume through mass fraction [fraction]. */
export function strengthRoundTrip(): number {
  let worst = 0;
  for (let hundredth = 0; hundredth <= 99; hundredth += 0.5) {
    worst = Math.max(worst, Math.abs(abvFromMassFraction(massFractionFromAbv(hundredth / 100)) - hundredth / 100));
  }
  return worst;
}
