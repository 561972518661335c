import type { Canary } from './canary';
import { isSinging } from './canary';
import { cases } from './catalogue';
import { type DetectorAlone, dryings } from './detectors';
import type { Quiet } from './quiet';
import type { Outcome } from './run-trial';
import { stillTypes } from './stills';

/** One line of the table: what came of all trials of a case. */
export interface CaseFigures {
  readonly name: string;
  readonly runs: number;
  /** Runs in which the hazard was there and this still must see it. */
  readonly due: number;
  readonly detected: number;
  readonly medianS: number | null;
  readonly worstS: number | null;
  readonly promisedS: number | null;
  /** Runs in which the safe state was due, and those in which it was reached. */
  readonly safeDue: number;
  readonly safe: number;
  /** Runs in which it need not be seen on this still, and those in which something told of it all the same. */
  readonly unseen: number;
  readonly unseenTold: number;
  readonly falseTrips: number;
  readonly failed: number;
}

export function figuresOf(outcomes: readonly Outcome[]): readonly CaseFigures[] {
  return cases.map(({ name }) => {
    const all = outcomes.filter((one) => one.name === name && one.second === null);
    const due = all.filter((one) => one.isHazard && one.unseen === null);
    const times = due.flatMap((one) => one.detectedAfterS ?? []).toSorted((a, b) => a - b);
    const promises = due.flatMap((one) => one.promisedS ?? []);
    const unseen = all.filter((one) => one.unseen !== null);
    return {
      name,
      runs: all.length,
      due: due.length,
      detected: times.length,
      medianS: times[Math.floor(times.length / 2)] ?? null,
      worstS: times.at(-1) ?? null,
      promisedS: promises.length === 0 ? null : Math.max(...promises),
      safeDue: all.filter((one) => one.isSafeDue).length,
      safe: all.filter((one) => one.isSafeDue && one.safeAfterS !== null).length,
      unseen: unseen.length,
      unseenTold: unseen.filter((one) => one.detectedBy !== null).length,
      falseTrips: all.reduce((sum, one) => sum + one.falseTrips.length, 0),
      failed: all.filter((one) => one.failures.length > 0).length,
    };
  });
}

const number = (value: number | null): string => (value === null ? '–' : String(Math.round(value)));

function row(cells: readonly (string | number)[]): string {
  return `| ${cells.join(' | ')} |`;
}

function caseRow(one: CaseFigures): string {
  const share = one.due === 0 ? '–' : `${one.detected} of ${one.due}`;
  const safe = one.safeDue === 0 ? '–' : `${one.safe} of ${one.safeDue}`;
  const unseen = one.unseen === 0 ? '–' : `${one.unseenTold} of ${one.unseen}`;
  const times = [number(one.medianS), number(one.worstS), number(one.promisedS)];
  return row([one.name, one.runs, share, ...times, safe, unseen, one.falseTrips, one.failed]);
}

/** The table of the trials, in Markdown. */
export function trialsTable(outcomes: readonly Outcome[]): readonly string[] {
  const mixed = outcomes.filter((one) => one.second !== null);
  const heads = [
    'trouble',
    'runs',
    'detected',
    'median s',
    'worst s',
    'stated s',
    'safe state',
    'told though unseen',
    'false trips',
    'failed',
  ];
  return [
    row(heads),
    row(['---', ...heads.slice(1).map(() => '--:')]),
    ...figuresOf(outcomes).map(caseRow),
    row(['two troubles at once', mixed.length, '–', '–', '–', '–', '–', '–', '–', failedOf(mixed)]),
  ];
}

export function failedOf(outcomes: readonly Outcome[]): number {
  return outcomes.filter((one) => one.failures.length > 0).length;
}

/** How the healed runs ended, commonest first. */
export function endsOf(outcomes: readonly Outcome[]): readonly string[] {
  const counts = new Map<string, number>();
  for (const { end } of outcomes) counts.set(end, (counts.get(end) ?? 0) + 1);
  return [...counts].toSorted((a, b) => b[1] - a[1]).map(([end, count]) => `${end} ${count}`);
}

/** The table of the undisturbed hours, in Markdown. */
export function quietTable(quiets: readonly Quiet[]): readonly string[] {
  return [
    row(['still', 'runs', 'hours', 'false trips', 'alarms without a trip']),
    row(['---', '--:', '--:', '--:', '---']),
    ...stillTypes.map((type) => {
      const those = quiets.filter((one) => one.type === type);
      const hours = those.reduce((sum, one) => sum + one.hours, 0);
      const trips = those.reduce((sum, one) => sum + one.trips.length, 0);
      const counts = new Map<string, number>();
      for (const alarm of those.flatMap((one) => one.alarms)) counts.set(alarm, (counts.get(alarm) ?? 0) + 1);
      const alarms = [...counts].map(([name, count]) => `${name} ${count}`).join(', ');
      return row([type, those.length, Math.round(hours), trips, alarms === '' ? 'none' : alarms]);
    }),
  ];
}

export function canaryTable(canaries: readonly Canary[]): readonly string[] {
  return [
    row(['taken out', 'failures before', 'failures after', 'the first of them']),
    row(['---', '--:', '--:', '---']),
    ...canaries.map((one) =>
      row([one.what, one.whole, one.broken, isSinging(one) ? one.firstLine : `**${one.firstLine}**`]),
    ),
  ];
}

/** The table of dry-boil detectors, each alone, in Markdown: a row a rule, and for each way of going dry what came of it. */
export function detectorTable(detectors: readonly DetectorAlone[]): readonly string[] {
  const rules = [...new Set(detectors.map(({ rule }) => rule))];
  return [
    row(['left alone', ...dryings]),
    row(['---', ...dryings.map(() => '---')]),
    ...rules.map((rule) =>
      row([
        rule,
        ...dryings.map((drying) => detectorCell(detectors.find((one) => one.rule === rule && one.drying === drying))),
      ]),
    ),
  ];
}

/** What the skin runs ahead of its probe when the limit itself is what trips [K]. */
const lagK = 2;

function detectorCell(one: DetectorAlone | undefined): string {
  if (one === undefined) return '–';
  const skin = `skin ${Math.round(one.skinC)} °C`;
  if (one.heatOffAfterS === null) return `not seen, ${skin}`;
  if (one.isCovered) return `**in time**, before it is bare`;
  return one.skinC <= one.limitC + lagK
    ? `**in time**, ${one.heatOffAfterS} s, ${skin}`
    : `late, ${one.heatOffAfterS} s, ${skin}`;
}
