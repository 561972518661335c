import { azeotrope, shiftVapourTemp, vapourAtDewTemp } from '../../lib/physics';
import {
  alcoholometryLines,
  atmosphereDifferenceHPa,
  equilibriumSets,
  scatterBetweenSets,
  shiftErrors,
  slopeErrorK,
  strengthRoundTrip,
} from './accuracy-figures';
import { deviationOf } from './equilibrium-set';

/** A table as the formatter would leave it: columns padded, numbers to the right. */
function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((_, column) => Math.max(...[head, ...rows].map((cells) => cells[column]!.length), 3));
  const rule = widths.map((width, column) => (column === 0 ? '-'.repeat(width) : `${'-'.repeat(width - 1)}:`));
  const line = (cells: readonly string[]) =>
    `| ${cells.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!))).join(' | ')} |`;
  return [line(head), `| ${rule.join(' | ')} |`, ...rows.map(line)].join('\n');
}

function fixed(value: number, digits: number): string {
  return Number.isNaN(value) ? '–' : value.toFixed(digits).replace('-', '−');
}

function signed(value: number, digits: number): string {
  const text = fixed(value, digits);
  return Number(value.toFixed(digits)) > 0 ? `+${text}` : text;
}

/** The power of ten above, so that the last bits of a floating-point unit don't change the document. */
function atMost(value: number): string {
  return `below 1e${Math.ceil(Math.log10(Math.max(value, 1e-16)))}`;
}

function equilibriumTable(): string {
  const rows = equilibriumSets.map((set) => {
    const d = deviationOf(set);
    const numbers = [fixed(d.tempRmseK, 3), fixed(d.tempMaxK, 2), fixed(d.yRmse, 4), fixed(d.yMax, 3)];
    return [set.name, String(d.points), ...numbers, set.usedInFit ? 'yes' : 'no'];
  });
  return table(['set', 'points', 'T RMSE K', 'T max K', 'y RMSE', 'y max', 'in the fit'], rows);
}

function scatterTable(): string {
  const rows = scatterBetweenSets().map((s) => [
    `${s.from}–${s.to}`,
    fixed(s.atmosphereK, 2),
    fixed(s.atmosphereY, 3),
    fixed(s.thirdK, 2),
    fixed(s.thirdY, 3),
  ]);
  return table(['x', 'T K at 1013 hPa', 'y at 1013 hPa', 'T K at 331 hPa', 'y at 331 hPa'], rows);
}

function azeotropeTable(): string {
  const rows = [500, 600, 700, 800, 900, 960, 1013.25, 1040, 1100].map((pressureHPa) => {
    const { x, tempC } = azeotrope(pressureHPa);
    return [String(pressureHPa), fixed(tempC, 2), fixed(x, 4)];
  });
  return table(['air pressure hPa', '°C', 'x'], rows);
}

const slopePressures = [1040, 960, 900, 850, 800, 700];

function slopeTable(line: 'vapour' | 'boiler'): string {
  const rows = [78.5, 80, 82, 85, 90, 92, 94, 96, 98, 99.9].map((thresholdC) => [
    fixed(thresholdC, 1),
    ...slopePressures.map((pressureHPa) => signed(slopeErrorK(line, thresholdC, pressureHPa), 2)),
  ]);
  return table([`${line} °C at 1013.25 hPa`, ...slopePressures.map((pressureHPa) => `${pressureHPa} hPa`)], rows);
}

function thresholdTable(): string {
  const pressures = [1040, 980, 960, 900, 800, 700];
  const rows = [80, 82, 90, 92, 94, 96].map((thresholdC) => [
    fixed(thresholdC, 1),
    fixed(vapourAtDewTemp(thresholdC, 1013.25), 3),
    ...pressures.map((pressureHPa) => fixed(shiftVapourTemp(thresholdC, 1013.25, pressureHPa), 2)),
  ]);
  return table(['vapour °C at 1013.25 hPa', 'y', ...pressures.map((pressureHPa) => `${pressureHPa} hPa`)], rows);
}

function alcoholometryTable(): string {
  const rows = alcoholometryLines().map((line) => [
    line.name,
    String(line.points),
    `${fixed(line.worst, 4)} ${line.unit}`,
    `${line.tolerance} ${line.unit}`,
  ]);
  return table(['source', 'points', 'worst difference', 'allowed'], rows);
}

/** The text of lib/physics/accuracy.md, worked out from the data beside the reference tests. */
export function accuracyDocument(): string {
  const shift = shiftErrors();
  return `# Accuracy

<!-- Written by \`npx vitest run --config tests/vitest.config.ts tests/reference/accuracy.test.ts -u\` from tests/reference/data. Don't edit: a test compares it. -->

Model less measurement for every published set the reference tests hold. Sources, and which were read and which recalled, stand in
\`tests/reference/data\`.

## Ethanol-water equilibrium

NRTL activities, IAPWS-IF97 and Wagner vapour pressures, ideal vapour. RMSE is the root mean square of the differences.

${equilibriumTable()}

How far published sets differ **from each other**, as the greatest difference of their mean distances from the model in a band of x (1013 hPa: Carey
& Lewis 1932, Kamihama 2012, Liu 2012; 331 hPa: Voutsas 2011, Kirschbaum 1939). The model is as good as the measurements are.

${scatterTable()}

**Interpolated only.** No isobaric set lies between 471 hPa (upper end of the 60 °C isotherm) and 1013 hPa, and none between 1013 and 1100 hPa. From
500 to 980 hPa the model interpolates over temperature between the sets above; from 1014 to 1100 hPa it goes slightly beyond them. Below 500 and
above 1100 hPa shifts are refused. Equilibrium at the temperatures of stills in the mountains (75–95 °C below 900 hPa) rests on the 1013 hPa set and
the isotherms at 50 and 60 °C.

**Other models tried once** (not repeated by the tests): NRTL with τ = a + b/T + c ln T, and with α linear in T besides, fitted to all sets at once.
Three more constants lower no RMSE by more than 6 % and raise one: not worth having.

### Azeotrope

Published at 1013.25 hPa: x 0.894 ± 0.006, 78.14 ± 0.03 °C.

${azeotropeTable()}

Between the azeotrope and pure ethanol two compositions share a temperature; the water side is meant. Near the azeotrope a temperature can't measure
strength: 0.1 K spans about 0.1 in x.

## Barometric shift

A vapour threshold moved from 1013.25 hPa, with the vapour composition y it stands for:

${thresholdTable()}

What a constant slope of 0.035 K/mmHg (0.02625 K/hPa), a common rule, gets wrong: rule less exact, in kelvin. A cut moved by the rule comes too late where the
number is positive and too early where it is negative.

${slopeTable('vapour')}

${slopeTable('boiler')}

Undone by the opposite shift: ${atMost(shift.roundTripK)} K at worst. Prepared curve (25 points, 4-point Lagrange) against the full calculation:
${atMost(shift.curveK)} K at worst. Both over thresholds of 56–110 °C and pressures of 500–1100 hPa.

Above the boiling point of water and below the joint (y* = 0.8965) the shift follows water and the joint; there it is a convention, chosen to be continuous, not a
measurement: light compounds in the heads are not modelled.

## Densities, strengths, instruments

${alcoholometryTable()}

Strength by volume to mass and back: ${atMost(strengthRoundTrip())} (fraction). Outside −20..40 °C densities are refused, never extrapolated.

## Atmosphere and steam

Standard atmosphere against psychrolib up to 5000 m: ${atMost(atmosphereDifferenceHPa())} hPa. Steam against python3-iapws from 1 to 110 °C: saturation pressure
1e-9, enthalpy of liquid 1 J/mol, of vapour 2 J/mol (tested where that package is installed).

## What is a prediction, what is left out

- Minor compounds (acetaldehyde to furfural): predictions of a group-contribution model, wrong by a factor of two or three for some; never an analysis.
- Heat of mixing is left out of the enthalpies: some ±0.3 kJ/mol near the boiling line (from memory), 1 % of the heat of vaporisation.
- Sugar and salts in a wash raise its boiling point; solids make an alcoholometer read low. Neither is modelled.
- Heat of vaporisation of ethanol: handbooks differ by 1 % (38.56 and 38.93 kJ/mol).
`;
}
