import {
  abvFromMoleFraction,
  azeotrope,
  liquidAtBubbleTemp,
  massFractionFromAbv,
  vapourAtDewTemp,
  waterBoilingPointC,
} from '../../lib/physics';
import { type Checked, type Problem, problem, warning } from '../../lib/problems';
import { correctHydrometer, type Strength, strengthFromDensity, strengthOfMassFraction } from '../../lib/proofing';

/** Ways to know a strength. */
export const strengthWays = ['vapour', 'boiler', 'hydrometer', 'density'] as const;
export type StrengthWay = (typeof strengthWays)[number];

/** Within this of the azeotrope a temperature says nothing of strength [K]. */
const blindK = 0.3;

/**
 * Strength by a temperature and the air pressure: of the distillate by its vapour, of the liquid by the boiler.
 *
 * @returns the strength, with a warning near the azeotrope, where a temperature cannot tell
 */
function strengthByTemp(way: 'vapour' | 'boiler', tempC: number, pressureHPa: number): Checked<Strength> {
  const boilingC = waterBoilingPointC(pressureHPa);
  const lowest = azeotrope(pressureHPa);
  if (!(tempC <= boilingC + 1) || !(tempC > lowest.tempC - 10)) {
    const range = `${lowest.tempC.toFixed(1)} to ${boilingC.toFixed(1)} °C`;
    const message = `is no boiling temperature of ethanol and water at ${pressureHPa.toFixed(0)} hPa`;
    return {
      kind: 'bad',
      problems: [problem('temperature', tempC, message, `They boil from ${range}; look at probe and pressure`)],
    };
  }
  const x = way === 'vapour' ? vapourAtDewTemp(tempC, pressureHPa) : liquidAtBubbleTemp(tempC, pressureHPa);
  const warnings: Problem[] =
    tempC > lowest.tempC + blindK
      ? []
      : [
          warning(
            'temperature',
            tempC,
            `is too near the azeotrope (${lowest.tempC.toFixed(2)} °C) to tell a strength`,
            'Use a hydrometer here',
          ),
        ];
  return { kind: 'ok', value: strengthOfMassFraction(massFractionFromAbv(abvFromMoleFraction(x))), warnings };
}

export interface StrengthReading {
  readonly way: StrengthWay;
  /** Temperature [°C], hydrometer reading [0..1] or density [kg/m³]. */
  readonly value: number;
  /** Air pressure [hPa] for temperatures, sample temperature [°C] for the others. */
  readonly beside: number;
  readonly basis: '20C' | '60F';
}

export function strengthOf(reading: StrengthReading): Checked<Strength> {
  switch (reading.way) {
    case 'vapour':
    case 'boiler':
      return strengthByTemp(reading.way, reading.value, reading.beside);
    case 'hydrometer':
      return correctHydrometer({ readingAbv: reading.value, tempC: reading.beside, basis: reading.basis });
    case 'density':
      return strengthFromDensity(reading.value, reading.beside);
  }
}
