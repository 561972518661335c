import { sayComparison } from '../../lib/compare';
import { sayJars } from '../../lib/jars';
import { perryCongenersMgPerL } from '../model';
import { first } from './development';
import {
  bottleL,
  bottling,
  bottlingAbv,
  careful,
  careless,
  carriedToGreat,
  compoundChecks,
  type Outcome,
  printedPercent,
  sayWay,
  type Tasted,
  type Worked,
  ways,
} from './worked';

type Row = readonly string[];

/** A table as the formatter would leave it. */
function table(head: Row, rows: readonly Row[]): string {
  const widths = head.map((_, column) => Math.max(...[head, ...rows].map((cells) => cells[column]!.length), 3));
  const rule = widths.map((size, column) => (column === 0 ? '-'.repeat(size) : `${'-'.repeat(size - 1)}:`));
  const line = (cells: Row) =>
    `| ${cells.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!))).join(' | ')} |`;
  return [line(head), `| ${rule.join(' | ')} |`, ...rows.map(line)].join('\n');
}

const fixed = (value: number, places: number): string => value.toFixed(places).replace('-', '−');
const signed = (value: number, places: number): string => `${value > 0 ? '+' : ''}${fixed(value, places)}`;
const percent = (value: number): string => `${signed(value, 2)} %`;

function jarTable({ derived }: Tasted): string {
  const { figures } = derived;
  const rows = figures.jars.map((jar, index): Row => {
    const end = figures.changeovers[index + 1];
    const dissent = jar.consensus.dissent.map(({ taster, verdict }) => `${taster}: ${verdict}`).join(', ');
    const words = jar.consensus.descriptors.slice(0, 2).map(({ word }) => word);
    return [
      String(jar.number),
      fixed(end?.vapourC ?? Number.NaN, 2),
      fixed(end?.stationHPa ?? Number.NaN, 1),
      fixed(end?.vapourAtReferenceC ?? Number.NaN, 2),
      fixed(jar.volumeL ?? Number.NaN, 3),
      fixed(100 * (jar.strengthAbv ?? Number.NaN), 1),
      fixed(end?.sharePercent ?? Number.NaN, 1),
      jar.verdict,
      [...words, dissent].filter((one) => one !== '').join('; '),
    ];
  });
  const head = ['jar', 'vapour °C', 'hPa', 'at 1013.25', 'L', '% vol', 'share %', 'verdict', 'tasted'];
  return table(head, rows);
}

function cutTable(white: Tasted, oak: Tasted): string {
  const rows = [white, oak].flatMap(({ variant }): Row[] =>
    (
      [
        ['heads', variant.cuts.heads, variant.heads],
        ['tails', variant.cuts.tails, variant.tails],
      ] as const
    ).map(([name, cut, { byTemperature, byShare, tasted }]) => [
      `${variant.variant}, ${name}`,
      fixed(cut.vapourAtReferenceC, 2),
      fixed(cut.sharePercent ?? Number.NaN, 2),
      `± ${fixed(byTemperature.kelvin ?? Number.NaN, 2)} K`,
      `± ${fixed(byTemperature.volumeL ?? Number.NaN, 2)} L`,
      `± ${fixed(byShare.volumeL ?? Number.NaN, 2)} L`,
      `± ${fixed(tasted.volumeL ?? Number.NaN, 2)} L`,
    ]),
  );
  const head = ['cut', 'vapour °C', 'share %', 'by temperature', 'that is', 'by share', 'as tasted'];
  return table(head, rows);
}

/** One row a repetition: what the test finds again. */
export function outcomeRow(outcome: Outcome, tasted: Tasted): Row {
  const { hearts } = outcome;
  return [
    outcome.name,
    outcome.variant,
    fixed(hearts.airPressureHPa, 1),
    `${fixed(hearts.headsCutC[0], 2)}`,
    `${fixed(hearts.tailsCutC[0], 2)}`,
    fixed(hearts.volumeL, 2),
    fixed(100 * hearts.strengthAbv, 2),
    percent(outcome.volumeOffPercent),
    percent(outcome.strengthOffPercent),
    `± ${fixed(printedPercent(tasted), 1)} %`,
    fixed(outcome.readiness.score, 0),
  ];
}

function repeatTable({ repeated, white, oak }: Worked): string {
  const head = [
    'run',
    'variant',
    'hPa',
    'heads at °C',
    'tails at °C',
    'hearts L',
    '% vol',
    'volume',
    'strength',
    'printed',
    'ready',
  ];
  return table(
    head,
    repeated.map((one) => outcomeRow(one, one.variant === 'white' ? white : oak)),
  );
}

export function deviationRow(worked: Pick<Worked, 'deviated'>, index: number): Row {
  const outcome = worked.deviated.usual[index]!;
  const of = (way: (typeof ways)[number]) => {
    const one = worked.deviated[way][index]!;
    return `${percent(one.volumeOffPercent)}${one.hearts.asked > 0 ? ' ?' : ''}`;
  };
  return [outcome.name, fixed(outcome.readiness.score, 0), ...ways.map(of), percent(outcome.strengthOffPercent)];
}

function deviationTable(worked: Worked): string {
  const rows = worked.deviated.usual.map((_, index) => deviationRow(worked, index));
  const printed = ['printed beforehand', '', ...ways.map((way) => `± ${fixed(worked.printed[way], 1)} %`), ''];
  return table(
    ['otherwise than run 1', 'ready', 'temperature', 'usual', 'share', 'strength (usual)'],
    [...rows, printed],
  );
}

function compoundTable({ development, white, repeated }: Worked): string {
  const { hearts } = repeated.find((one) => one.name === 'run 2')!;
  const rows = compoundChecks(development, white, perryCongenersMgPerL, hearts).map(
    ({ name, predictedRatio, jarsRatio, repeated: again }): Row => [
      name,
      fixed(predictedRatio, 2),
      fixed(jarsRatio, 2),
      fixed(again, 3),
    ],
  );
  return table(['compound', 'derivation predicts', 'simulated jars hold', 'run 2 over run 1'], rows);
}

function bottlingLines({ repeated }: Worked): string {
  const rows = repeated.map((one): Row => {
    const bottled = bottling(one.hearts);
    return [
      one.name,
      fixed(one.hearts.volumeL, 2),
      fixed(100 * one.hearts.strengthAbv, 2),
      fixed(bottled.waterL, 2),
      fixed(bottled.volume20L, 2),
      String(bottled.bottles),
    ];
  });
  const head = [
    'run',
    'hearts L',
    '% vol',
    'water L',
    `L of ${fixed(100 * bottlingAbv, 0)} % vol`,
    `bottles of ${bottleL} L`,
  ];
  return table(head, rows);
}

/** What the figures come to, in words made from them. */
function findings(worked: Worked): string {
  const worst = (values: readonly number[]) => Math.max(...values.map(Math.abs));
  const volume = worst(worked.repeated.map((one) => one.volumeOffPercent));
  const strength = worst(worked.repeated.map((one) => one.strengthOffPercent));
  const deviations = ways.map((way) => {
    const off = worst(worked.deviated[way].map((one) => one.volumeOffPercent));
    return `- ${sayWay[way]}: ${fixed(off, 1)} % at the most, ± ${fixed(worked.printed[way], 1)} % printed beforehand`;
  });
  return [
    `- With charge, heat and probe as in run 1, at ${worked.repeated.map((one) => fixed(one.hearts.airPressureHPa, 0)).join(', ')} hPa and on a still ten times as large, hearts a litre of alcohol charged repeat within ${fixed(volume, 2)} %, their strength within ${fixed(strength, 2)} %.`,
    '- With charge, heat or probe otherwise without anybody knowing:',
    ...deviations.map((one) => `  ${one}`),
  ].join('\n');
}

function great({ repeated }: Worked): string {
  const asked = repeated.find((one) => one.name === 'run 5')?.hearts.asked ?? 0;
  return asked === 0 ? 'the engine asked nothing.' : `the engine asked ${asked} times, and the nose answered.`;
}

/** The whole document. */
export function workedDocument(worked: Worked): string {
  const { white, oak } = worked;
  const carried = carriedToGreat(white.derived);
  const { recipe } = white.derived;
  return `# A worked scenario: from the first charge to bottling

<!-- Made by \`npm run worked\`; do not edit. -->

Everything here is **simulated**, on invented stills with an invented charge. The tasters are rules on minor compounds, and minor
compounds are **predictions** of a model that may be wrong by a factor of two or three, never an analysis. What the scenario shows is
that the arithmetic between tasting and bottling holds, and how far, and where it does not. It says nothing about a spirit anybody
should drink, and nothing about safety: high-limit cut-out, open vapour path, coolant interlock and a person at the still come first.

${findings(worked)}

## Run 1: tasted by hand

${first.chargeL} L of perry low wines of ${first.chargeVolPercent} % vol in a pot of 60 L, heated with ${fixed(first.heatShare * first.ratedW, 0)} W, vapour probe in steps of 0.0625 K. The
distiller changed ${white.derived.figures.jars.length} jars by order of volume; changeover readings are the engine's, volume and strength were measured to
1 mL and 0.1 % vol. Three tasters gave their verdicts; each has a bound of their own for what is pungent and what is oily.

${jarTable(white)}

![Vapour temperature of run 1 over the share of the alcohol, with jars and cuts](course.svg)

## The recipe

Heads are cut at the changeover into the first jar that is in, tails at the end of the last; both are moved to 1013.25 hPa and placed on the
share of the charge's alcohol that had come over. How sharp each is when a careful stillroom repeats it with the same probe
(charge ± 0.3 % vol and ± 1 %, heat ± 3 %, probe drift ± ${careful.probeK} K):

${cutTable(white, oak)}

Revision ${recipe.revision} of "${recipe.name}" has the variants ${Object.keys(recipe.variants).join(' and ')}. A temperature says little about where heads end: the vapour climbs
${fixed(white.variant.heads.slopeKPerPercent ?? 0, 3)} K per per cent of the alcohol there, ${fixed(white.variant.tails.slopeKPerPercent ?? 0, 3)} K at the tails cut. So heads go by share and tails by temperature unless the distiller
says otherwise.

## Runs 2 to 5: repeated

"Volume" and "strength" are those of the hearts, a litre of alcohol charged, against the jars that were in; "printed" is the
uncertainty printed before the run; "ready" is the readiness score against run 1. The temperatures are those of the vapour as it really was at the cut.

${repeatTable(worked)}

![Hearts of runs 2 to 5 against run 1](repeats.svg)

Run 5 is on a still ten times as large, with the recipe carried over: volumes times ${fixed(carried.volumeFactor, 1)}, all else as it was. There
${great(worked)}
What carries over, and what does not:

${[...carried.carries, ...carried.doesNotCarry].map((reason) => `- ${sayComparison(reason)}`).join('\n')}

## When charge, heat or probe are otherwise

The real charge, heat or probe differ from what is written down, and nobody knows. A question mark: the engine asked, because the temperature had
been reached before it could be seen from below, or stood away from where the cut was tasted; the person at the still then answered by the nose, and
the figure is theirs as much as the recipe's. "Ready" is what the score would be, had the difference been measured beforehand.

${deviationTable(worked)}

![Hearts with other charge, heat and probe, for three ways of cutting](deviations.svg)

Printed for charge ± ${careless.chargeStrengthVolPercent} % vol, heat ± ${careless.heatPercent} % and probe ± ${careless.probeK} K all at once, nineteen times of twenty:

${ways.map((way) => `- **${way}**: ${sayWay[way]}`).join('\n')}

## Minor compounds: predictions

Strength of each compound in the hearts' alcohol over that in the charge's alcohol. "Derivation predicts" is what the recipe printed before anything
was repeated; "simulated jars hold" is the hidden truth of the simulation. Both rest on the same volatilities, so that they agree is no proof of either.

${compoundTable(worked)}

## To the bottle

${bottlingLines(worked)}

Let it rest, chill and filter if it clouds. ${sayJars(white.choice.notes[0]!)}.
`;
}
