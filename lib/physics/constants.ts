/** Constants shared by the physics modules. Sources stand beside each value. */

/** 0 °C in kelvin, exact (ITS-90). */
export const zeroCelsiusK = 273.15;

/** Standard air pressure [hPa], exact by convention. */
export const standardAirPressureHPa = 1013.25;

/** Molar mass of ethanol [g/mol]. Source: IUPAC atomic weights. */
export const ethanolMolarMassGPerMol = 46.0684;

/** Molar mass of water [g/mol]. Source: IUPAC atomic weights. */
export const waterMolarMassGPerMol = 18.0153;

/** Molar gas constant [J/(mol K)]. Source: CODATA 2018, exact since the 2019 SI. */
export const gasConstantJPerMolK = 8.314462618;

/** Air pressures for which the equilibrium model is used [hPa]. */
export const airPressureRangeHPa = { lowest: 500, highest: 1100 } as const;
