import {
  densityKgM3,
  type EquilibriumTable,
  massFractionFromMoleFraction,
  molarMassGPerMol,
  standardAirPressureHPa,
  tableEndsAtX,
  tabulateEquilibrium,
} from '../physics';

/**
 * Boiling liquids at 1013.25 hPa as a table, for marching through a run. Temperatures are moved to that pressure before they are looked up: the
 * composition stays. A place in the table is its index, fractions included; more alcohol is a higher index.
 */
export interface Boiling extends EquilibriumTable {
  /** A mole of the vapour, condensed, at 20 °C [L]. */
  readonly litresPerMol: readonly number[];
}

const points = 160;
const lowestX = 1e-4;
const step = Math.log(tableEndsAtX / lowestX) / (points - 1);

let table: Boiling | null = null;

/** The table, worked out once. Accuracy: 0.01 K and 0.0005 in y between its points. */
export function boiling(): Boiling {
  table ??= tabulate();
  return table;
}

function tabulate(): Boiling {
  const equilibrium = tabulateEquilibrium(standardAirPressureHPa, points, lowestX);
  const litresPerMol = equilibrium.y.map((y) => molarMassGPerMol(y) / densityKgM3(massFractionFromMoleFraction(y), 20));
  return { ...equilibrium, litresPerMol };
}

/** A column of the table at a place, straight between its points; the ends are not passed. */
export function at(column: readonly number[], index: number): number {
  const i = Math.min(points - 2, Math.max(0, Math.floor(index)));
  const place = Math.min(1, Math.max(0, index - i));
  return column[i]! + place * (column[i + 1]! - column[i]!);
}

/** Place of a liquid of mole fraction x. */
export function placeOfX(x: number): number {
  return Math.min(points - 1, Math.max(0, Math.log(Math.max(x, lowestX) / lowestX) / step));
}

/** Place of the liquid that boils at a temperature, or whose vapour condenses there [°C at 1013.25 hPa]. */
export function placeOfTemp(tempC: number): number {
  const { tempC: temps } = boiling();
  return placeIn((i) => -temps[i]!, -tempC);
}

/** Place at which a rising function of the table's points reaches a value, from 0 to the last. */
export function placeIn(rising: (i: number) => number, wanted: number): number {
  let low = 0;
  let high = points - 2;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (rising(middle) <= wanted) low = middle;
    else high = middle - 1;
  }
  const from = rising(low);
  const span = rising(low + 1) - from;
  return low + (span <= 0 ? 0 : Math.min(1, Math.max(0, (wanted - from) / span)));
}

/** Kelvin a place further up: negative, for more alcohol boils colder. */
export function slopeKPerPlace(index: number): number {
  const { tempC } = boiling();
  const i = Math.min(points - 2, Math.max(0, Math.floor(index)));
  return tempC[i + 1]! - tempC[i]!;
}
