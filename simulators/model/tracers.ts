import { type CongenerName, congenersArePredictions, congenerVolatility } from '../../lib/physics';
import { tracerNames } from './spec';

/** Every figure for minor compounds that the simulator gives is a prediction, never an analysis: say so wherever one is shown. */
export const tracersArePredictions = congenersArePredictions;

/** Molar masses of the minor compounds [g/mol]. Source: IUPAC atomic weights. */
export const tracerMolarMassGPerMol: Readonly<Record<CongenerName, number>> = {
  acetaldehyde: 44.053,
  'ethyl acetate': 88.106,
  methanol: 32.042,
  acetone: 58.08,
  '1-propanol': 60.096,
  isobutanol: 74.123,
  'isoamyl alcohol': 88.15,
  'acetic acid': 60.052,
  furfural: 96.085,
};

/** Compounds that boil below the azeotrope and pull the first vapour down. */
const lightNames: readonly CongenerName[] = ['acetaldehyde', 'ethyl acetate', 'acetone'];
const lightIndices = lightNames.map((name) => tracerNames.indexOf(name));

/**
 * Moves the share of each trace that goes with the vapour.
 *
 * Rayleigh's equation for a trace of constant volatility K over the step: n/n0 = (N/N0)^K, N all the liquid.
 */
export function boilOffTracers(
  liquidMol: number[],
  vapourMol: number[],
  x: number,
  tempC: number,
  pressureHPa: number,
  totalMol: number,
  boiledMol: number,
): void {
  if (liquidMol.length === 0) return;
  const lnLeft = Math.log1p(-boiledMol / totalMol);
  for (let index = 0; index < liquidMol.length; index++) {
    const amountMol = liquidMol[index]!;
    if (amountMol <= 0) continue;
    const volatility = congenerVolatility(tracerNames[index]!, x, tempC, pressureHPa);
    const boiled = -amountMol * Math.expm1(volatility * lnLeft);
    liquidMol[index] = amountMol - boiled;
    vapourMol[index] = boiled;
  }
}

/**
 * How far light compounds pull the vapour's temperature below that of ethanol and water alone: their share of the vapour takes that much
 * of the pressure, so ethanol and water condense as under less of it.
 *
 * @returns difference [K], at most 0
 */
export function lightHeadsK(tracersMol: readonly number[], vapourMol: number, tempC: number): number {
  if (tracersMol.length === 0 || vapourMol <= 0) return 0;
  let light = 0;
  for (const index of lightIndices) light += tracersMol[index] ?? 0;
  const share = Math.min(0.3, light / (vapourMol + light));
  const tempK = tempC + 273.15;
  // Clapeyron: dT/d ln P = R T²/ΔH, ΔH of the vapour about 39.5 kJ/mol near the azeotrope.
  return ((8.314 * tempK * tempK) / 39_500) * Math.log(1 - share);
}

/** Milligrams a litre from amounts in a volume, by name. */
export function tracersMgPerL(tracersMol: readonly number[], volumeL: number): Partial<Record<CongenerName, number>> {
  const result: Partial<Record<CongenerName, number>> = {};
  if (!(volumeL > 0)) return result;
  tracersMol.forEach((amountMol, index) => {
    const name = tracerNames[index]!;
    result[name] = (amountMol * tracerMolarMassGPerMol[name] * 1000) / volumeL;
  });
  return result;
}
