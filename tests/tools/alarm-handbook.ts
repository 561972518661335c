import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  type AlarmRule,
  alarmRules,
  english,
  type Hazard,
  type HostAlarm,
  hazards,
  hostAlarms,
  sayName,
} from '../../lib';

const storyFolder = 'tests/scripts';

const intro = `What every alarm means, what it does by itself, and what to do now. Alarms stand under the hazard they mainly see; those that
take the heat off come first. Times are the longest from the hazard to the alarm where the rule may judge; what your own still
sees of each hazard, and how soon, \`middlecut check\` tells. The stories play an alarm on a simulated still, with numbers, and
are run as tests.`;

const general = `## When an alarm sounds

1. **Look at the still, not at the screen.** If what you see, hear or smell is wrong, switch the heat off at the main switch and see that the
   coolant runs. No order here is quicker or surer than that switch.
2. Read the first alarm of the burst (the first-out): the others mostly follow from it.
3. Do what stands under _Now_. Then order \`acknowledge\`: it says that you have seen it, and mends nothing.
4. What has tripped the heat keeps it off until its cause is gone, it is acknowledged, and somebody orders \`resume\`. After that the still warms up
   into feints, and goes back to the fraction it was in when its vapour is what it was.

**Critical** takes the heat off, or harm is near. **High** needs you within minutes. **Medium** needs you before the phase ends. **Low** is worth
knowing.

An alarm may be shelved for a while (\`shelve\`, for eight hours at most) or taken
out of service, at the still only: it is then not announced, but it still trips.`;

const doesWords = {
  'heat-off': 'takes the heat off and holds the run',
  'heat-reduce': 'asks for less heat while it lasts',
} as const;

/** Times as people say them: 45 s, 6 min. */
function within(seconds: number): string {
  return seconds >= 120 && seconds % 60 === 0 ? `${seconds / 60} min` : `${seconds} s`;
}

type Story = readonly [name: string, text: string];

function stories(): readonly Story[] {
  const folder = join(process.cwd(), storyFolder);
  return readdirSync(folder)
    .filter((file) => file.endsWith('.story'))
    .sort()
    .map((file) => [file.replace(/\.story$/, ''), readFileSync(join(folder, file), 'utf8')]);
}

/** The stories in which an alarm is expected to sound or to trip. */
function told(id: string, all: readonly Story[]): string {
  const expects = new RegExp(`expect (?:alarm|trip|first-out) ${id}(?![\\w-])`);
  const found = all.filter(([, text]) => expects.test(text));
  if (found.length === 0) return '';
  const links = found.map(([name]) => `[${name.replaceAll('-', ' ')}](../../${storyFolder}/${name}.story)`);
  return ` Stories: ${links.join(', ')}.`;
}

function ruleText(rule: AlarmRule, all: readonly Story[]): readonly string[] {
  const facts = [
    rule.priority,
    rule.interlock === null ? 'calls only' : doesWords[rule.interlock],
    `within ${within(rule.detectS)}${rule.detectsInS === undefined ? '' : ' or as the still allows'}`,
    ...(rule.latched ? ['stays until acknowledged'] : []),
    ...(rule.wakes ? ['may wake you'] : []),
  ];
  const quiet = [
    ...rule.suppressedIn.map((phase) => sayName(phase, english)),
    ...(rule.suppressedBy ?? []).map((id) => `while “${sayName(id, english)}” stands`),
  ];
  const silence = quiet.length === 0 ? '' : ` Silent: ${quiet.join(', ')}.`;
  const reads = rule.sees.length === 0 ? '' : ` Reads: ${rule.sees.map((kind) => `\`${kind}\``).join(', ')}.`;
  const more = `${reads}${silence}${told(rule.id, all)}`.trim();
  return [...entry(rule.id, facts), '', ...(more === '' ? [] : [more, ''])];
}

function hostText({ id, priority, onDelayS }: HostAlarm): readonly string[] {
  return [...entry(id, [priority, onDelayS === 0 ? 'at once' : `after ${within(onDelayS)}`]), ''];
}

/** Name, facts, meaning and what to do now. */
function entry(id: string, facts: readonly string[]): readonly string[] {
  const guidance = english.language.guidance[id];
  if (guidance === undefined) throw new Error(`assertion: no guidance for ${id}`);
  return [
    `### ${sentence(sayName(id, english))}`,
    '',
    `\`${id}\`: ${facts.join(', ')}.`,
    '',
    guidance.means,
    `**Now:** ${guidance.now}`,
  ];
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function hazardText(hazard: Hazard, all: readonly Story[]): readonly string[] {
  const words = english.language.hazards[hazard];
  const rules = alarmRules.filter((rule) => rule.hazards[0] === hazard);
  const others = alarmRules.filter((rule) => rule.hazards.indexOf(hazard) > 0);
  const also = others.map(({ id }) => sayName(id, english)).join(', ');
  return [
    `## ${sentence(words?.name ?? hazard)}`,
    '',
    `Beside this program: ${words?.beside}.${also === '' ? '' : ` Seen by these, too: ${also}.`}`,
    '',
    ...rules.flatMap((rule) => ruleText(rule, all)),
  ];
}

/** The handbook of alarms, from the rules, their words, and the stories that play them. */
export function alarmHandbook(): string {
  const all = stories();
  const lines = [
    '# Alarm handbook',
    '',
    '<!-- Made from the alarm rules and their words; see tests/tools/reference-docs.ts. -->',
    '',
    intro,
    '',
    general,
    '',
    ...hazards.flatMap((hazard) => hazardText(hazard, all)),
    '## What the daemon tells of itself',
    '',
    'These concern the computer, its record and its link; an alarm that also means harm at the still stands above.',
    '',
    ...Object.values(hostAlarms).flatMap(hostText),
  ];
  return `${lines.join('\n').trimEnd()}\n`;
}
