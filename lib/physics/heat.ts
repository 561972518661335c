import { gasConstantJPerMolK, zeroCelsiusK } from './constants';

/*
 * Molar heats with one reference state: the pure liquids at 0 °C have enthalpy 0. Vapour enthalpy is liquid enthalpy plus the heat of
 * vaporisation at the same temperature, so any path through boiler, head and condenser closes. The heat of mixing is left out: near the boiling
 * line it is some ±0.3 kJ/mol (from memory), 1 % of the heat of vaporisation.
 */

const ethanolCriticalK = 513.92;
const ethanolBoilingK = 351.44;
const ethanolHeatAtBoilingJPerMol = 38_560;
const watsonExponent = 0.38;

/**
 * Heat of vaporisation of ethanol.
 *
 * Watson: ΔH = ΔHb ((1 − T/Tc)/(1 − Tb/Tc))^0.38
 *
 * @param tempC temperature [°C, 0..110]
 * @returns heat [J/mol]
 * Accuracy: 1 %; handbooks give 38.56 (CRC) and 38.93 kJ/mol (Perry) at the boiling point.
 * Source: CRC Handbook of Chemistry and Physics; Watson, Ind. Eng. Chem. 35 (1943) 398.
 */
export function ethanolVaporisationHeatJPerMol(tempC: number): number {
  const tempK = tempC + zeroCelsiusK;
  return (
    ethanolHeatAtBoilingJPerMol * ((ethanolCriticalK - tempK) / (ethanolCriticalK - ethanolBoilingK)) ** watsonExponent
  );
}

/**
 * Heat of vaporisation of water: a cubic through IAPWS-IF97 saturation enthalpies, 0..115 °C.
 *
 * @param tempC temperature [°C, 0..115]
 * @returns heat [J/mol]
 * Accuracy: within 1 J/mol of IF97.
 * Source: IAPWS R7-97(2012).
 */
export function waterVaporisationHeatJPerMol(tempC: number): number {
  return 45_055.1613 + tempC * (-42.8219477 + tempC * (0.010723054 - tempC * 0.000229563934));
}

/**
 * Heat needed to boil off one mole of vapour of a composition, the liquid being of the same composition and temperature.
 *
 * @param y mole fraction of ethanol in the vapour [0..1]
 * @param tempC temperature [°C, 0..110]
 * @returns heat [J/mol]
 * Source: the two pure components above.
 */
export function vaporisationHeatJPerMol(y: number, tempC: number): number {
  return y * ethanolVaporisationHeatJPerMol(tempC) + (1 - y) * waterVaporisationHeatJPerMol(tempC);
}

// Ethanol: cp = R (35.434 − 23.9925 t + 7.09467 t² − 0.508705 t³), t = T/100 K (Zábranský et al., 290..378 K; used from 273 K).
function ethanolHeatCapacityJPerMolK(tempC: number): number {
  const t = (tempC + zeroCelsiusK) / 100;
  return gasConstantJPerMolK * (35.434 + t * (-23.9925 + t * (7.09467 - t * 0.508705)));
}

function ethanolHeatIntegralJPerMol(tempK: number): number {
  const t = tempK / 100;
  return 100 * gasConstantJPerMolK * t * (35.434 + t * (-23.9925 / 2 + t * (7.09467 / 3 - (t * 0.508705) / 4)));
}

const ethanolIntegralAtZeroJPerMol = ethanolHeatIntegralJPerMol(zeroCelsiusK);

// Water: enthalpy of the saturated liquid, a cubic through IAPWS-IF97, 0..115 °C.
const waterLinear = 75.7490762;
const waterSquare = -0.0102636775;
const waterCube = 7.77835954e-5;

/**
 * Heat capacity of a liquid mixture.
 *
 * @param x mole fraction of ethanol in the liquid [0..1]
 * @param tempC temperature [°C, 0..110]
 * @returns heat capacity [J/(mol K)]
 * Accuracy: 0.5 % for the pure liquids. Real mixtures lie up to some 10 % higher about x = 0.15 (from memory), for
 * the heat of mixing is left out.
 * Source: Zábranský et al., Heat Capacity of Liquids (ethanol); IAPWS R7-97 (water).
 */
export function liquidHeatCapacityJPerMolK(x: number, tempC: number): number {
  const water = waterLinear + tempC * (2 * waterSquare + tempC * 3 * waterCube);
  return x * ethanolHeatCapacityJPerMolK(tempC) + (1 - x) * water;
}

/**
 * Enthalpy of a liquid mixture, counted from the pure liquids at 0 °C: the integral of liquidHeatCapacityJPerMolK.
 *
 * @param x mole fraction of ethanol in the liquid [0..1]
 * @param tempC temperature [°C, 0..110]
 * @returns enthalpy [J/mol]
 * Source: as liquidHeatCapacityJPerMolK.
 */
export function liquidEnthalpyJPerMol(x: number, tempC: number): number {
  const ethanol = ethanolHeatIntegralJPerMol(tempC + zeroCelsiusK) - ethanolIntegralAtZeroJPerMol;
  const water = tempC * (waterLinear + tempC * (waterSquare + tempC * waterCube));
  return x * ethanol + (1 - x) * water;
}

/**
 * Enthalpy of a vapour mixture, counted from the pure liquids at 0 °C: liquid enthalpy and heat of vaporisation together.
 *
 * @param y mole fraction of ethanol in the vapour [0..1]
 * @param tempC temperature [°C, 0..110]
 * @returns enthalpy [J/mol]
 * Source: liquidEnthalpyJPerMol and vaporisationHeatJPerMol.
 */
export function vapourEnthalpyJPerMol(y: number, tempC: number): number {
  return liquidEnthalpyJPerMol(y, tempC) + vaporisationHeatJPerMol(y, tempC);
}
