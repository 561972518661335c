import { sayName, sayReason } from '../../lib/words';
import { html, type Insert, type Markup } from './html';
import { foreign, paragraph, section, table } from './parts';
import { kindOf, sayDecided, sayOrder } from './said';
import { timeCell } from './section-course';
import { nothing, showInto, showMoment } from './show';
import type { RunStory } from './story';
import type { Decided } from './telling';
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
  return section('alarms', words.alarms, rows.length === 0 ? paragraph(words.noAlarms) : table(columns, rows), more);
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

function textOf(decided: Decided, story: RunStory, wording: Wording): string {
  const said = sayDecided(decided, story.run.plant, wording);
  return decided.kind === 'mark' ? `${said}, ${showMoment(decided.mark.atMs)}` : said;
}

/** Every decision and command in order; a moment is named once. */
export function sectionDecisions(story: RunStory, wording: Wording): Markup {
  const { words, saying } = wording;
  let lastS: number | null = null;
  const all = story.told.decided.map((decided): Insert[] => {
    const atS = decided.kind === 'mark' ? null : decided.atS;
    const when = atS === null || atS === lastS ? '' : timeCell(story, atS, 'beside');
    lastS = atS ?? lastS;
    return [when, sayName(kindOf(decided), saying), foreign(textOf(decided, story, wording))];
  });
  const [rows, more] = limited(all, wording);
  const columns = [
    { head: words.into, kind: 'mark' },
    { head: words.what, kind: 'mark' },
    { head: words.why, kind: 'wide' },
  ] as const;
  return section('decisions', words.decisions, table(columns, rows), more);
}
