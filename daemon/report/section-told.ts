import { sayName, sayReason } from '../../lib/words';
import { alarmLoadOf } from './alarm-load';
import { html, type Insert, type Markup } from './html';
import { facts, foreign, paragraph, section, table } from './parts';
import { kindOf, sayDecided, sayOrder } from './said';
import { timeCell } from './section-course';
import { nothing, showInto, showNumber } from './show';
import type { RunStory } from './story';
import type { Wording } from './words';

/** Rows of a list at the most; the export has everything. */
const mostRows = 600;

/** Alarms and orders, each with who, when and why. */
export function sectionsTold(story: RunStory, wording: Wording): Insert {
  return [alarmSection(story, wording), orderSection(story, wording)];
}

function limited(
  rows: readonly (readonly Insert[])[],
  { words }: Wording,
): readonly [readonly (readonly Insert[])[], Insert] {
  const more = rows.length - mostRows;
  return [rows.slice(0, mostRows), more > 0 && paragraph(`${more} ${words.more}.`, 'note')];
}

function alarmSection(story: RunStory, wording: Wording): Markup {
  const { words, saying } = wording;
  const into = (atS: number | null) => (atS === null ? nothing : showInto(story.intoS(atS)));
  const all = story.told.alarms.map((one, index): Insert[] => [
    html`<span class="letter-mark">${index + 1}</span>`,
    html`${sayName(one.alarm, saying)}<span class="below">${sayName(one.priority, saying)}${!one.announced && `, ${words.silent}`}</span>`,
    timeCell(story, one.raisedAtS, 'below'),
    into(one.returnedAtS),
    html`${into(one.acknowledgedAtS)}${one.acknowledgedBy !== null && html`<span class="below">${words.by} ${foreign(one.acknowledgedBy)}</span>`}`,
    foreign(sayReason(one.reason, saying)),
  ]);
  const [rows, more] = limited(all, wording);
  const columns = [
    { head: '' },
    { head: words.alarm },
    { head: words.raised, kind: 'mark' },
    { head: words.returned, kind: 'mark' },
    { head: words.acknowledged },
    { head: words.why, kind: 'wide' },
  ] as const;
  if (rows.length === 0) return section('alarms', words.alarms, paragraph(words.noAlarms));
  return section('alarms', words.alarms, table(columns, rows), more, loadOf(story, wording));
}

/** What the alarms asked of the operator: too many are as bad as none. */
function loadOf({ told, run }: RunStory, { words, saying }: Wording): Insert {
  const startS = told.startedS ?? run.initial.now;
  const load = alarmLoadOf(told.alarms, startS, run.lastS ?? startS);
  const names = (alarms: readonly string[]): Insert =>
    alarms.length === 0 ? words.noneOfThem : foreign(alarms.map((one) => sayName(one, saying)).join(', '));
  const pairs: (readonly [string, Insert])[] = [
    [words.announced, `${load.announced}${load.silent > 0 ? `, ${load.silent} ${words.silent}` : ''}`],
    [words.inTenMinutes, showNumber(load.meanInTenMinutes, 1, saying)],
    [
      words.mostInTenMinutes,
      load.isFlood ? html`${load.mostInTenMinutes}: <b>${words.flood}</b>` : String(load.mostInTenMinutes),
    ],
    [words.chattering, names(load.chattering)],
    [words.standing, names(load.standing)],
  ];
  return [facts(pairs), paragraph(words.alarmLoadNote, 'note')];
}

function orderSection(story: RunStory, wording: Wording): Markup {
  const { words, saying } = wording;
  const { orders } = story.told;
  const listed = orders.filter(({ order }) => order.kind !== 'attend');
  const all = listed.map(({ atS, order, accepted, reason }): Insert[] => [
    timeCell(story, atS, 'beside'),
    html`${foreign(order.by)}<span class="below">${order.from === 'still' ? words.fromStill : words.fromRemote}</span>`,
    foreign(sayOrder(order)),
    accepted === null
      ? words.unanswered
      : accepted
        ? words.accepted
        : html`<b>${words.refused}</b>: ${reason !== null && foreign(sayReason(reason, saying))}`,
  ]);
  const [rows, more] = limited(all, wording);
  const attended = orders.length - listed.length;
  const columns = [
    { head: words.into, kind: 'mark' },
    { head: words.who },
    { head: words.order, kind: 'wide' },
    { head: words.answer },
  ] as const;
  return section(
    'orders',
    words.orders,
    rows.length === 0 ? paragraph(words.noOrders) : table(columns, rows),
    more,
    attended > 0 && paragraph(`${attended} ${words.attendance}.`, 'note'),
  );
}

/** Every decision and command in order; a moment is named once. */
export function sectionDecisions(story: RunStory, wording: Wording): Markup {
  const { words, saying } = wording;
  let lastS: number | null = null;
  const all = story.told.decided.map((decided): Insert[] => {
    const atS = decided.kind === 'mark' ? null : decided.atS;
    const when = atS === null || atS === lastS ? '' : timeCell(story, atS, 'beside');
    lastS = atS ?? lastS;
    return [when, sayName(kindOf(decided), saying), foreign(sayDecided(decided, story.run.plant, wording))];
  });
  const [rows, more] = limited(all, wording);
  const columns = [
    { head: words.into, kind: 'mark' },
    { head: words.what, kind: 'mark' },
    { head: words.why, kind: 'wide' },
  ] as const;
  return section('decisions', words.decisions, table(columns, rows), more);
}
