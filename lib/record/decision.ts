import type { Command, Event, Input, Order, ScanResult } from '../engine/types';
import { writeExactJson } from './exact-json';

/** What is kept for good of a scan: never thinned, each with its reason. */
export type Decision =
  | { readonly kind: 'event'; readonly atS: number; readonly event: Event }
  | { readonly kind: 'command'; readonly atS: number; readonly command: Command }
  | { readonly kind: 'order'; readonly atS: number; readonly order: Order };

/**
 * The decisions of one scan, in the order the record keeps them: orders nobody answered, events, commands.
 *
 * Repeats of a command are left out: they only feed the dead-man of a device. An order that an event answers stands in that event.
 * @param input what the scan was given
 * @param result what it made of it
 */
export function decisionsOf(input: Input, result: Pick<ScanResult, 'events' | 'commands'>): readonly Decision[] {
  const atS = input.now;
  const answered = new Set(result.events.map((event) => (event.kind === 'order' ? event.order.id : null)));
  return [
    ...input.orders
      .filter((order) => !answered.has(order.id))
      .map((order): Decision => ({ kind: 'order', atS, order })),
    ...result.events.map((event): Decision => ({ kind: 'event', atS, event })),
    ...result.commands
      .filter((command) => !command.repeat)
      .map((command): Decision => ({ kind: 'command', atS, command })),
  ];
}

export type Comparison =
  | { readonly kind: 'same'; readonly decisions: number }
  | {
      readonly kind: 'different';
      /** Number of the first decision that differs, from 0. */
      readonly at: number;
      /** null where one side has ended. */
      readonly recorded: Decision | null;
      readonly replayed: Decision | null;
    };

/**
 * Compares the decisions of a record with those of its replay, to the last digit of every number.
 * @param recorded as they were written down
 * @param replayed as the engine makes them now
 * @returns same, or the first that differs
 */
export function compareDecisions(recorded: Iterable<Decision>, replayed: Iterable<Decision>): Comparison {
  const [ours, theirs] = [recorded[Symbol.iterator](), replayed[Symbol.iterator]()];
  for (let at = 0; ; at++) {
    const [a, b] = [ours.next(), theirs.next()];
    if (a.done === true && b.done === true) return { kind: 'same', decisions: at };
    const [was, is] = [a.done === true ? null : a.value, b.done === true ? null : b.value];
    if (sortedText(was) !== sortedText(is)) return { kind: 'different', at, recorded: was, replayed: is };
  }
}

/** Text that is equal for equal data whatever the order of its keys, and unlike canonical JSON takes any number. */
function sortedText(value: unknown): string {
  const sort = (item: unknown): unknown => {
    if (Array.isArray(item)) return item.map(sort);
    if (item === null || typeof item !== 'object') return item;
    const entries = Object.entries(item).filter(([, member]) => member !== undefined);
    return Object.fromEntries(entries.sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, member]) => [key, sort(member)]));
  };
  return writeExactJson(sort(value));
}
