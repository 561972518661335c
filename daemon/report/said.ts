import type { Command, Event, Order, Plant, Reason } from '../../lib/engine/types';
import type { Condition, CutTest, Step } from '../../lib/recipe/schema';
import { sayName, sayReason } from '../../lib/words';
import type { Mark } from '../store';
import { showMoment, showPercent } from './show';
import type { Decided } from './telling';
import type { Wording } from './words';

const arrow = ' \u2192 ';

/** An event in words: what changed, then why. */
export function sayEvent(event: Event, { saying }: Pick<Wording, 'saying'>): string {
  const why = sayReason(event.reason, saying);
  const said = (word: string): string => sayName(word, saying);
  switch (event.kind) {
    case 'phase':
    case 'cut-asked':
    case 'cut-undone':
      return `${said(event.from)}${arrow}${said(event.to)}: ${why}`;
    case 'state':
      return event.from === event.to ? why : `${said(event.from)}${arrow}${said(event.to)}: ${why}`;
    case 'alarm':
      return `${said(event.alarm)}, ${said(event.transition)}: ${why}`;
    case 'trip':
      return `${said(event.trip)}, ${said(event.state)}: ${why}`;
    case 'jar':
      return `${said('jar')} ${event.number}: ${why}`;
    case 'order':
      return sayAnswer(event, why);
    default:
      return why;
  }
}

function sayAnswer({ order, accepted }: Extract<Event, { kind: 'order' }>, why: string): string {
  const remark = order.text === undefined ? '' : ` \u201c${order.text}\u201d`;
  return accepted ? `${why}${remark}` : `${order.kind} by ${order.by} refused: ${why}${remark}`;
}

/** What the store itself has to say of a run, with its wall time. */
export function sayMark(mark: Mark, { saying }: Pick<Wording, 'saying'>): string {
  const said = sayReason({ code: `mark.${mark.mark}`, numbers: { ...mark } }, saying);
  return `${said}, ${showMoment(mark.atMs)}`;
}

/** Drives that are on or off; the others open and close. */
const switched: readonly (string | undefined)[] = ['heat', 'coolant', 'contactor'];

/** What a drive is told: on or off, open or closed, a share between, or a receiver. */
function sayValue({ drive, value }: Command, plant: Plant, { words, saying }: Wording): string {
  if (typeof value === 'string') return value;
  if (value > 0 && value < 1) return `${showPercent(value, saying, 0)} %`;
  if (switched.includes(plant.still.drives[drive]?.kind)) return value === 0 ? words.off : words.on;
  return value === 0 ? words.closed : words.open;
}

/** What was decided or commanded, in words. */
export function sayDecided(decided: Decided, plant: Plant, wording: Wording): string {
  switch (decided.kind) {
    case 'event':
      return sayEvent(decided.event, wording);
    case 'command': {
      const { drive, reason } = decided.command;
      return `${drive} ${sayValue(decided.command, plant, wording)}: ${sayReason(reason, wording.saying)}`;
    }
    case 'mark':
      return sayMark(decided.mark, wording);
  }
}

/** Kind of a decision, as the first column of a list has it. */
export function kindOf(decided: Decided): string {
  return decided.kind === 'event' ? decided.event.kind : decided.kind;
}

/** An order in words: kind, target, remark. */
export function sayOrder({ kind, target, text }: Order): string {
  return `${kind}${target === undefined ? '' : ` ${target}`}${text === undefined ? '' : `: \u201c${text}\u201d`}`;
}

function testReason(test: CutTest, referenceHPa: number): Reason {
  const numbers = Object.fromEntries(
    Object.entries(test).filter(([field, value]) => field !== 'test' && value !== undefined),
  ) as Record<string, number | string>;
  const detail = test.test === 'volume' ? `-${test.since}` : test.test === 'strength' ? `-${test.by}` : '';
  return { code: `recipe.${test.test}${detail}`, numbers: { ...numbers, referenceHPa } };
}

/** How a phase of a recipe ends, in words. */
export function sayCondition(condition: Condition, referenceHPa: number, wording: Wording): string {
  if ('test' in condition) return sayReason(testReason(condition, referenceHPa), wording.saying);
  const isAny = 'anyOf' in condition;
  const parts = (isAny ? condition.anyOf : condition.allOf).map((part) => {
    const said = sayCondition(part, referenceHPa, wording);
    return 'test' in part ? said : `(${said})`;
  });
  return parts.join(` ${isAny ? wording.words.or : wording.words.and} `);
}

/** What keeps a phase from ending too early, in words; empty where nothing does. */
export function sayGuard(step: Step, { words, saying }: Wording): string {
  const { volumeL, sharePercent, timeS } = step.notBefore ?? {};
  const reasons: Reason[] = [];
  if (volumeL !== undefined) reasons.push({ code: 'recipe.guard-volume', numbers: { volumeL } });
  if (sharePercent !== undefined) reasons.push({ code: 'recipe.guard-share', numbers: { sharePercent } });
  if (timeS !== undefined) reasons.push({ code: 'recipe.guard-time', numbers: { timeS } });
  if (reasons.length === 0) return '';
  return `${words.notBefore} ${reasons.map((reason) => sayReason(reason, saying)).join(` ${words.and} `)}`;
}
