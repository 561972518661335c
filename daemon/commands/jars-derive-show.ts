import { type Choice, type CutPlace, jarNames, type Sharpness, type Spread } from '../../lib/jars';
import { showProblem } from '../../lib/problems';
import type { Weighed } from './jars-derive';
import { table } from './table';

const sayWord = (word: string): string => jarNames[word] ?? word;
const orDash = (value: number | null, places: number, unit = ''): string =>
  value === null ? '–' : `${value.toFixed(places)}${unit}`;

/** A derivation for people: cuts, sharpness, choices, advice, cautions. */
export function showDerivation(weighed: Weighed): string {
  const { derived, warnings, advice, cautions } = weighed;
  const { figures, recipe } = derived;
  const parts = [
    `${recipe.name}: from ${figures.jars.length} jars of ${figures.sheet.charge.volumeL} L at ${figures.sheet.charge.strengthVolPercent} % vol`,
    making(weighed),
    ...derived.variants.map((_, index) => showVariant(weighed, index)),
    list('next time', advice),
    list('warning', warnings.map(showProblem)),
    list('caution', cautions),
  ];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

function making({ derived }: Weighed): string {
  const { headsBy, tailsBy, guarded, headsCut } = derived.making;
  const by = { share: 'the share of the alcohol come over', temperature: 'temperature', strength: 'strength' };
  const guard = guarded && tailsBy !== 'share' ? ', not before its share' : '';
  return `Heads are cut by ${by[headsBy]}${headsCut === 'ask' ? ', asked of your nose' : ''}; tails by ${by[tailsBy]}${guard}.`;
}

function showVariant(weighed: Weighed, index: number): string {
  const { variant, selection, cuts, heads, tails } = weighed.derived.variants[index]!;
  const against = selection.against.map(({ jar, verdict }) => `jar ${jar} (${sayWord(verdict)})`);
  const title = `${sayWord(variant)}: jars ${selection.firstJar} to ${selection.lastJar}${against.length === 0 ? '' : `, against the verdict on ${against.join(', ')}`}`;
  const rows = [cutRow('heads', cuts.heads), cutRow('tails', cuts.tails)];
  const head = ['cut', 'vapour °C', 'boiler °C', 'share %', 'after L', '% vol there', 'that day'];
  return [
    title,
    table(head, rows),
    sharp('heads', heads),
    sharp('tails', tails),
    choiceTable(weighed.choices[index] ?? [], weighed.bottlingAbv),
  ].join('\n');
}

function cutRow(name: string, cut: CutPlace): readonly string[] {
  return [
    name,
    cut.vapourAtReferenceC.toFixed(2),
    orDash(cut.boilerAtReferenceC, 2),
    orDash(cut.sharePercent, 1),
    orDash(cut.spoutL, 2),
    (100 * cut.strengthAbv).toFixed(1),
    `${cut.readC.toFixed(2)} °C at ${cut.stationHPa.toFixed(1)} hPa`,
  ];
}

function sharp(name: string, { byTemperature, byShare, tasted, slopeKPerPercent }: Sharpness): string {
  const slope =
    slopeKPerPercent === null
      ? 'the vapour does not climb here'
      : `the vapour climbs ${slopeKPerPercent.toFixed(3)} K per % of the alcohol`;
  return [
    `  ${name}, sharp to (19 of 20 times; ${slope}):`,
    `    by temperature  ${spread(byTemperature)}`,
    `    by share        ${spread(byShare)}`,
    `    as tasted       ± ${orDash(tasted.kelvin, 2)} K, ± ${orDash(tasted.sharePercent, 1)} % of the alcohol, ± ${orDash(tasted.volumeL, 2)} L (width of the jars)`,
  ].join('\n');
}

function spread({ kelvin, sharePercent, volumeL, parts }: Spread): string {
  const causes = [...parts]
    .sort((a, b) => (b.sharePercent ?? b.kelvin ?? 0) - (a.sharePercent ?? a.kelvin ?? 0))
    .slice(0, 3)
    .map(({ cause, kelvin: k, sharePercent: share }) =>
      share === null ? `${sayWord(cause)} ${orDash(k, 2)} K` : `${sayWord(cause)} ${share.toFixed(1)} %`,
    );
  const because = causes.length === 0 ? '' : `: ${causes.join(', ')}`;
  return `± ${orDash(kelvin, 2)} K, ± ${orDash(sharePercent, 1)} % of the alcohol, ± ${orDash(volumeL, 2)} L${because}`;
}

const choiceNames: Readonly<Record<Choice['kind'], string>> = {
  'as-tasted': 'as tasted',
  'heads-earlier': 'one jar sooner',
  'heads-later': 'one jar later',
  'tails-earlier': 'stop a jar sooner',
  'tails-later': 'stop a jar later',
};

/** Compounds a distiller cuts for; the rest are in the JSON. */
const shown = ['ethyl acetate', 'isoamyl alcohol', 'acetic acid'] as const;

function choiceTable(choices: readonly Choice[], bottlingAbv: number): string {
  if (choices.length === 0) return '  (no choices: volume or strength of some jars is missing)';
  const head = [
    'choice',
    'jars',
    'L at 20 °C',
    '% vol',
    'pure L',
    '% of run',
    `water L to ${(100 * bottlingAbv).toFixed(1)}`,
    ...shown.map((name) => `${name}†`),
  ];
  const rows = choices.map((choice) => [
    choiceNames[choice.kind],
    `${choice.firstJar}–${choice.lastJar}`,
    choice.volume20L.toFixed(2),
    `${(100 * choice.strengthAbv).toFixed(1)}${choice.estimated ? '*' : ''}`,
    choice.alcoholL.toFixed(2),
    choice.shareOfRunPercent.toFixed(1),
    choice.bottling === null ? '–' : choice.bottling.waterL.toFixed(2),
    ...shown.map((name) => {
      const found = choice.compounds.find((one) => one.name === name);
      return found === undefined ? '–' : `× ${found.ratio.toFixed(2)}`;
    }),
  ]);
  return `${table(head, rows)}\n† predicted strength over that in the charge's alcohol; a prediction, no analysis`;
}

function list(word: string, lines: readonly string[]): string {
  return lines.map((line) => `${word}: ${line}`).join('\n');
}
