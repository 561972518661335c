import { type Canary, isSinging } from './canary';
import type { DetectorAlone } from './detectors';
import { caseNamed } from './draw';
import type { Quiet } from './quiet';
import type { Outcome } from './run-trial';
import { canaryTable, detectorTable, endsOf, failedOf, quietTable, trialsTable } from './table';

interface All {
  readonly outcomes: readonly Outcome[];
  readonly quiets: readonly Quiet[];
  readonly canaries: readonly Canary[];
  readonly detectors: readonly DetectorAlone[];
}

/** The one command that shows a failed run again, line by line. */
export function replayCommand({ name, seed }: Pick<Outcome, 'name' | 'seed'>): string {
  return `npm run faults -- --case "${name}" --seed ${seed}`;
}

/** The whole report, in Markdown: what the terminal shows and what is committed. */
export function report(all: All, { tookS, workers }: { tookS: number; workers: number }) {
  const { outcomes, quiets, canaries, detectors } = all;
  const hours = outcomes.reduce((sum, one) => sum + one.ranS, 0) / 3600;
  const quietHours = quiets.reduce((sum, one) => sum + one.hours, 0);
  const falseTrips = quiets.reduce((sum, one) => sum + one.trips.length, 0);
  const singing = canaries.filter(isSinging).length;
  const [first, last] = [outcomes[0]?.seed, outcomes.at(-1)?.seed];
  const lines = [
    '# Fault campaign',
    '',
    `${outcomes.length} runs (seeds ${first} to ${last}), ${Math.round(hours)} simulated hours, in ${Math.round(tookS / 6) / 10} minutes with ${workers} ${workers === 1 ? 'process' : 'processes'}.`,
    `${failedOf(outcomes)} failed. ${Math.round(quietHours)} undisturbed hours: ${falseTrips} false trips. ${singing} of ${canaries.length} canaries sing.`,
    '',
    ...howTo,
    '',
    ...trialsTable(outcomes),
    '',
    ...explained,
    '',
    `How the healed runs ended: ${endsOf(outcomes).join('; ')}.`,
    '',
    '## What a still cannot see',
    '',
    ...unseenLines(outcomes),
  ];
  if (quiets.length > 0) lines.push('', '## Undisturbed hours', '', ...quietText, '', ...quietTable(quiets));
  if (detectors.length > 0)
    lines.push('', '## Dry boil, each detector alone', '', ...detectorText, '', ...detectorTable(detectors));
  if (canaries.length > 0) lines.push('', '## Canaries', '', ...canaryText, '', ...canaryTable(canaries));
  return [...lines, ...failureLines(all)];
}

const howTo = [
  'Again: `npm run faults -- --runs 1000 --hours 60 --table FILE`. One run, told line by line: `npm run faults -- --case "coolant lost" --seed 12`.',
];

const explained = [
  'Times count from the moment the hazard is there in truth, not from the fault that leads to it. Stated is the time the alarm’s rule',
  'promises, the longest of those among these runs; a run may add to it the delay of what came along (late readings, a lost link) and 6 s for the',
  'readings’ own spacing. Told though unseen: runs on a still that has no point for it, in which something told all the same; a trouble that is no',
  'hazard stands in this column too. The safe state is what the case asks for at the least: heat off, less heat, no power at the element, no cut made,',
  'the run held, somebody told; and of a trouble that is none, that the run goes on and no cut is made before the true vapour is within 1 K of it. A trouble',
  'that was over before its stated time was up may stand undetected without having failed. A dash: nothing is promised there and nothing judged; the',
  'rules of safety and the end of the run are judged all the same.',
];

const quietText = [
  'Noisy, slow and wandering probes, offsets within their stated accuracy, drifting weather with fronts, sugar, superheat, a charge that is not quite',
  'what was stated. Every trip in them is false. Of cooling down only half an hour counts.',
];

const detectorText = [
  'The pot is drained in hearts, or boiled away in tails that nothing ends, until its element is bare, with one rule left and all others taken out. Times',
  'count from the moment only a fifth of the element is covered; in time is heat off before its skin is 2 K past its limit of 150 °C. A bare element gains about 5 K a',
  'second: of a sudden leak, what looks at neither skin nor level comes too late or cannot know, and only a wired cut-out covers it.',
];

const canaryText = [
  'All alarms that see a hazard are taken out together, and the campaign must fail. A control that has gone mad is tamed by the interlocks, and the rules',
  'of safety must see it once those are taken out.',
];

/** Why what is not seen need not be, once a reason. */
function unseenLines(outcomes: readonly Outcome[]): readonly string[] {
  const reasons = new Map<string, Set<string>>();
  for (const { name, type, unseen, second } of outcomes) {
    if (unseen === null || second !== null) continue;
    const key = `${name}: ${unseen}`;
    reasons.set(key, (reasons.get(key) ?? new Set()).add(type));
  }
  return [...reasons].map(([reason, types]) => `- ${reason} (${[...types].join(', ')})`);
}

function failureLines({ outcomes, quiets, canaries }: All): readonly string[] {
  const failed = outcomes.filter(({ failures }) => failures.length > 0);
  const lines = failed.flatMap((one) => [
    `- ${one.name} on the ${one.type} still in ${one.phase}${caseNamed(one.name).hazard === null ? '' : ` (${caseNamed(one.name).hazard})`}: ${one.failures.join('; ')}`,
    `  \`${replayCommand(one)}\``,
  ]);
  const noisy = quiets
    .filter(({ trips, end }) => trips.length > 0 || end !== 'finished')
    .map((one) => `- undisturbed ${one.type}, seed ${one.seed}: ${one.end}; ${one.trips.join('; ')}`);
  const silent = canaries
    .filter((one) => !isSinging(one))
    .map((one) => `- canary ${one.what}: ${one.whole} before, ${one.broken} after`);
  const all = [...lines, ...noisy, ...silent];
  return all.length === 0 ? [] : ['', '## Failures', '', ...all];
}
