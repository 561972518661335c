import { describe, expect, it } from 'vitest';
import type { Command, Event, Input, Order, Plant, Reason, Run } from '../../lib/engine/types';
import { compareDecisions, type Decision, decisionsOf, foldInputs, type Scan, scanInputs } from '../../lib/record';

const reason: Reason = { code: 'counted', numbers: {} };
const plant = {} as Plant;
const start = { now: 0, commandCount: 0 } as Run;

/** A scan that counts: enough to see what was folded, and in which order. */
const count: Scan = (_plant, run, input) => {
  const number = run.commandCount + input.readings.length;
  const commands: Command[] = input.readings.map((reading, i) => ({
    id: `${run.commandCount + i}`,
    drive: reading.point,
    value: reading.value ?? 0,
    issuedAtS: input.now,
    ttlS: 10,
    repeat: reading.value === null,
    safe: false,
    reason,
  }));
  const events: Event[] = input.orders.map((order) => ({
    kind: 'order',
    atS: input.now,
    reason,
    order,
    accepted: true,
  }));
  return { run: { ...run, now: input.now, commandCount: number }, commands, events };
};

const order: Order = { id: 'o1', kind: 'note', by: 'Ada', from: 'still', text: 'smells of glue' };
const inputs: Input[] = [
  { now: 1, readings: [{ point: 'a', value: 1, atS: 1 }], orders: [] },
  { now: 2, readings: [], orders: [] },
  {
    now: 3,
    readings: [
      { point: 'b', value: null, atS: 3 },
      { point: 'c', value: 3, atS: 3 },
    ],
    orders: [order],
  },
];

describe('folding inputs', () => {
  it('carries the run from scan to scan and collects what was decided', () => {
    const folded = foldInputs(count, plant, start, inputs);
    expect(folded.run).toEqual({ now: 3, commandCount: 3 });
    expect(folded.scans).toBe(3);
    expect(folded.commands.map((command) => command.drive)).toEqual(['a', 'b', 'c']);
    expect(folded.events).toHaveLength(1);
  });

  it('leads to the same run from a checkpoint, through JSON', () => {
    const checkpoint = JSON.parse(JSON.stringify(foldInputs(count, plant, start, inputs.slice(0, 2)).run)) as Run;
    expect(foldInputs(count, plant, checkpoint, inputs.slice(2)).run).toEqual(
      foldInputs(count, plant, start, inputs).run,
    );
  });

  it('takes inputs one at a time, so a long log need not be in memory', () => {
    let taken = 0;
    function* log(): Generator<Input> {
      for (const input of inputs) {
        taken += 1;
        yield input;
      }
    }
    const scans = scanInputs(count, plant, start, log());
    scans.next();
    expect(taken).toBe(1);
  });
});

describe('decisions of a scan', () => {
  it('leave repeats out and keep an answered order in its event', () => {
    const input = inputs[2]!;
    const kinds = decisionsOf(input, count(plant, start, input)).map((decision) => decision.kind);
    expect(kinds).toEqual(['event', 'command']);
  });

  it('keep an order that nobody answered', () => {
    expect(decisionsOf(inputs[2]!, { events: [], commands: [] })).toEqual([{ kind: 'order', atS: 3, order }]);
  });
});

describe('comparing decisions', () => {
  const all: Decision[] = inputs.flatMap((input) => decisionsOf(input, count(plant, start, input)));

  it('finds a record and its replay the same, whatever the order of keys', () => {
    const turned = all.map((decision) => Object.fromEntries(Object.entries(decision).reverse()) as unknown as Decision);
    expect(compareDecisions(all, turned)).toEqual({ kind: 'same', decisions: all.length });
  });

  it('shows the first that differs, in the last digit too', () => {
    const changed = all.map((decision, i) => (i === 1 ? { ...decision, atS: decision.atS + 4e-16 } : decision));
    expect(compareDecisions(all, changed)).toEqual({
      kind: 'different',
      at: 1,
      recorded: all[1],
      replayed: changed[1],
    });
  });

  it('shows where one side ends early', () => {
    expect(compareDecisions(all, all.slice(0, -1))).toMatchObject({
      kind: 'different',
      at: all.length - 1,
      replayed: null,
    });
    expect(compareDecisions([], all)).toMatchObject({ kind: 'different', at: 0, recorded: null });
  });
});
