import { type Figures, figuresByKind, figuresOf, mean, root } from './figures';
import { horizonsS, type Seen, type Told } from './measure';

const said: Readonly<Record<string, string>> = {
  'heat-up': 'vapour comes (heat-up)',
  'vapour-temp': 'vapour temperature',
  'vapour-rise': 'rise above the plateau',
  strength: 'strength',
  volume: 'volume',
  'alcohol-share': 'share of the alcohol',
  'boiler-temp': 'boiler temperature',
  settled: 'settled (equalise)',
};

const fixed = (value: number, places: number): string =>
  Number.isNaN(value) ? '–' : value.toFixed(places).replace('-', '−');
const percent = (value: number): string => (Number.isNaN(value) ? '–' : `${value.toFixed(0)} %`);

/** A table as the formatter would leave it. */
function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((_, column) => Math.max(3, ...[head, ...rows].map((cells) => cells[column]!.length)));
  const line = (cells: readonly string[]) =>
    `| ${cells.map((cell, i) => (i < 2 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!))).join(' | ')} |`;
  const rule = widths.map((size, i) => (i < 2 ? '-'.repeat(size) : `${'-'.repeat(size - 1)}:`));
  return [line(head), `| ${rule.join(' | ')} |`, ...rows.map(line)].join('\n');
}

function rowOf(one: Figures): readonly string[] {
  return [
    one.still,
    said[one.test] ?? one.test,
    String(one.horizonS / 60),
    String(one.cuts),
    String(one.untold),
    fixed(one.biasMin, 1),
    fixed(one.rmsMin, 1),
    fixed(one.statedMin, 1),
    percent(one.withinOnce),
    percent(one.withinTwice),
  ];
}

const head = ['still', 'cut by', 'before', 'cuts', 'untold', 'bias', 'RMS', 'stated', 'in 1 σ', 'in 2 σ'];

function together(all: readonly Told[]): string {
  const rows = (['pot', 'column'] as const).flatMap((still) =>
    horizonsS.map((horizonS) => {
      const group = all.filter((one) => one.still === still && one.horizonS === horizonS && one.test !== 'settled');
      return rowOf({ still, test: 'all that is foretold', horizonS, ...figuresOf(group) });
    }),
  );
  return table(head, rows);
}

function charges(seen: readonly Seen[]): string {
  const groups = [
    ['pot', 'meter'],
    ['pot', 'heat'],
    ['column', 'meter'],
  ] as const;
  const rows = groups.map(([still, counted]) => {
    const group = seen.filter((one) => one.still === still && one.counted === counted);
    const of = (field: 'shareOffPercent' | 'statedPercent' | 'countOffPercent' | 'leftOffVolPercent') =>
      group.map((one) => one[field]);
    return [
      still,
      counted === 'meter' ? 'by a meter' : 'by the heat alone',
      String(group.length),
      fixed(mean(of('shareOffPercent')), 1),
      fixed(root(of('shareOffPercent')), 1),
      fixed(root(of('statedPercent')), 1),
      fixed(root(of('countOffPercent')), 1),
      fixed(root(of('leftOffVolPercent')), 2),
    ];
  });
  const columns = ['still', 'counted', 'cuts', 'bias', 'RMS', 'stated', 'RMS of the count', 'left, RMS % vol'];
  return table(columns, rows);
}

/** The figures of the time to the next cut, measured over simulated runs, as a document. */
export function accuracyDocument(all: readonly Told[], seen: readonly Seen[], runs: number): string {
  return `${[
    '# How well the next cut is foretold',
    '',
    '<!-- Made by simulators/forecast/main.ts: npm run forecast. -->',
    '',
    `Measured over ${runs} **simulated** runs of pot and column under the real engine, every cut seen 60, 30, 15 and 5 minutes before it came (where its phase lasted so long). In each run`,
    'something is otherwise than written down: heat ± 15 %, charge with a standard deviation of 0.7 % vol, air pressure ± 30 hPa, every third run at another height up to 1500 m, vapour',
    'probe off by 0.2 K and boiler probe by 0.3 K (standard deviations), heat lost by the head ± 25 %. The engine knows the heat by its power meter and none of the others. The pots count',
    'what comes over by a meter or by the heat alone, the column by a meter; some read their strength in a parrot. The uncertainties stated by the engine were set on other runs than these.',
    '',
    'All in minutes. Bias: foretold less came, so positive is foretold too late. Stated: root mean square of the uncertainty the engine gave with it. In 1 σ, in 2 σ: cuts that came within',
    'once and twice the stated uncertainty; true uncertainties would have 68 % and 95 %. Untold: the engine gave a reason instead of a time.',
    '',
    '## Together',
    '',
    together(all),
    '',
    '## By what makes the cut',
    '',
    table(head, figuresByKind(all).map(rowOf)),
    '',
    '## The charge',
    '',
    "Share of the alcohol there really was that has come over, in per cent of it, at every cut: the estimator's, by count and boiling temperature together, less the true one; beside it",
    'the bare count over the charge as written down, on which cuts by share are made; and the strength of what is left in the boiler.',
    '',
    charges(seen),
    '',
    '## What to make of it',
    '',
    '- The time is that of the condition, its guard and its hold, as things go now: heat that is changed, a run that is held or a cut that is asked changes it.',
    "- A pot's vapour follows its charge closely, so its cuts are foretold to a few per cent of the time to go, whatever the probe's offset: the engine compares how fast the vapour warms with",
    '  how fast it should.',
    '- A column shows nothing while its plates hold alcohol: the end of its plateau rests on the balance of the charge, good to a few per cent of the alcohol, until the top is seen to warm.',
    '- Equalising ends when the vapour settles; when that will be is not foretold.',
    '- A real still differs from its simulation in more than these figures; compare what was foretold with what came over a few runs of your own.',
  ].join('\n')}\n`;
}
