import { describe, expect, it } from 'vitest';
import {
  checkStill,
  compilePlant,
  createController,
  freshRun,
  type OrderKind,
  type Plant,
  type Run,
  type RunState,
} from '../../lib';
import { hold } from '../../lib/engine/course';
import { allowedStates } from '../../lib/engine/orders';
import { Story, until } from '../tools/story';
import { play } from '../tools/story-lines';
import { storyPlant } from '../tools/story-still';

/*
 * Which command is possible in which state, after the example states of ISA-88.00.01 (IEC 61512-1): start from idle,
 * hold from running, restart from held, stop from running and held, abort from any active state, reset from the end
 * states. Ours: start also from complete and stopped (the reset goes without saying), and a reset in idle takes back a
 * trip that came while nothing ran.
 */
const states: readonly RunState[] = ['idle', 'running', 'held', 'stopping', 'complete', 'stopped', 'aborted'];
const table: Readonly<Record<string, string>> = {
  //       idle running held stopping complete stopped aborted
  start: '  x     -      -     -        x        x       -',
  hold: '   -     x      -     -        -        -       -',
  resume: ' -     -      x     -        -        -       -',
  stop: '   -     x      x     -        -        -       -',
  abort: '  -     x      x     x        -        -       -',
  reset: '  x     -      -     -        x        x       x',
};

describe('orders and states', () => {
  for (const [order, row] of Object.entries(table)) {
    it(`${order} is possible in ${allowedStates[order as OrderKind].join(', ')}, and nowhere else`, () => {
      const cells = row.trim().split(/\s+/);
      expect(allowedStates[order as OrderKind]).toEqual(states.filter((_, index) => cells[index] === 'x'));
    });
  }

  it('acknowledging, abolishing silence and notes are possible always', () => {
    for (const order of ['acknowledge', 'unshelve', 'return-to-service', 'attend', 'note'] as const) {
      expect(allowedStates[order]).toEqual(states);
    }
  });
});

describe('a trip', () => {
  it('that came while nothing ran can be taken back, and stands in the way of a start until then', () => {
    const story = new Story('pot', 'idle');
    play(story, 'boiler-pressure 90');
    story.pass(10);
    expect(story.ask('start')).toBe('refused.trip');
    expect(story.ask('reset')).toBe('refused.trip-active');
    play(story, 'boiler-pressure 0');
    story.pass(40);
    expect(story.ask('reset')).toBe('refused.trip-unacknowledged');
    expect(story.ask('acknowledge')).toBeNull();
    expect(story.ask('reset')).toBeNull();
    expect(story.ask('start')).toBeNull();
  });

  it('in a run that is being finished does not keep it from ending, and is taken back afterwards', () => {
    const story = new Story('pot', 'hearts');
    story.give('stop');
    story.pass(5);
    play(story, 'boiler-pressure 90');
    story.pass(10);
    expect(story.run.trips).toHaveLength(1);
    play(story, 'boiler-pressure follows');
    expect(until(story, 4 * 3600, () => story.run.state === 'stopped')).not.toBeNull();
    expect(story.ask('start')).toBe('refused.trip');
    story.ask('acknowledge');
    expect(story.ask('reset')).toBeNull();
    expect(story.run.state).toBe('idle');
  });
});

describe('orders from elsewhere', () => {
  /** A still that allows remote work. */
  function remotePlant(attendanceS: number | undefined, source: 'element' | 'gas' = 'element'): Plant {
    const plant = storyPlant('bare-pot');
    const heat = { ...plant.still.drives.heat!, source } as Plant['still']['drives'][string];
    const { attendanceS: _, ...still } = plant.still;
    return {
      ...plant,
      still: { ...still, drives: { heat }, remoteOrders: true, ...(attendanceS === undefined ? {} : { attendanceS }) },
    };
  }

  function ask(plant: Plant, start: Run, kind: OrderKind, target?: string): string | null {
    const controller = createController(plant, start);
    controller.order({ id: 'o', kind, by: 'Ada', from: 'remote', ...(target === undefined ? {} : { target }) });
    const answer = controller.scan(start.now + 1).events.find((event) => event.kind === 'order');
    return answer?.kind === 'order' && !answer.accepted ? answer.reason.code : null;
  }

  const held: Run = { ...new Story('bare-pot', 'held').run };

  it('that can make it less safe need somebody who answered at the still', () => {
    const now = held.now;
    expect(ask(remotePlant(600), { ...held, attendedAtS: now - 60 }, 'resume')).toBeNull();
    expect(ask(remotePlant(600), { ...held, attendedAtS: now - 700 }, 'resume')).toBe('refused.remote-unattended');
    expect(ask(remotePlant(undefined), { ...held, attendedAtS: now - 700 }, 'resume')).toBeNull();
    expect(ask(remotePlant(undefined), { ...held, attendedAtS: null }, 'resume')).toBe('refused.remote-unattended');
  });

  it('do not count as somebody being there', () => {
    const plant = remotePlant(600);
    expect(ask(plant, held, 'attend')).toBe('refused.remote');
    const controller = createController(plant, { ...held, attendedAtS: held.now - 60 });
    controller.order({ id: 'o', kind: 'resume', by: 'Ada', from: 'remote' });
    expect(controller.scan(held.now + 1).run.attendedAtS).toBe(held.now - 60);
  });

  it('never light gas', () => {
    expect(ask(remotePlant(600, 'gas'), { ...held, attendedAtS: held.now - 60 }, 'resume')).toBe('refused.remote');
  });

  it('that make it safer are always obeyed', () => {
    const running = new Story('bare-pot', 'hearts').run;
    for (const kind of ['hold', 'stop', 'abort'] as const)
      expect(ask(remotePlant(600), running, kind), kind).toBeNull();
  });

  it('are refused on a still that does not allow them', () => {
    const plant = storyPlant('bare-pot');
    for (const [kind, target] of [
      ['start', undefined],
      ['shelve', 'blind'],
      ['receiver-emptied', 'heads'],
    ] as const) {
      const from = kind === 'start' ? freshRun(0) : held;
      expect(ask(plant, from, kind, target), kind).toBe('refused.remote');
    }
  });
});

describe('coming back', () => {
  it('goes back to where the vapour was, even when the probe that knew it was lost', () => {
    const story = new Story('pot', 'hearts');
    const wasC = story.run.estimate.recent.at(-1)?.tempC ?? Number.NaN;
    play(story, 'vapour-temp silent');
    until(story, 120, () => story.run.state === 'held');
    expect(story.run.resume?.targetVapourC).toBeCloseTo(wasC, 0);
  });

  it('goes back to where the vapour was before it stood still, not to where its slope pointed meanwhile', () => {
    const story = new Story('pot', 'hearts');
    play(story, 'vapour-temp rises 1 K/min');
    story.pass(120);
    const wasC = story.run.estimate.recent.at(-1)?.tempC ?? Number.NaN;
    play(story, 'vapour-temp 75');
    play(story, 'clock leaps 90 s');
    story.pass(1);
    expect(story.run.state).toBe('held');
    expect(Math.abs((story.run.resume?.targetVapourC ?? Number.NaN) - wasC)).toBeLessThan(0.5);
  });

  it('goes back to where the vapour was before its probe lied', () => {
    const story = new Story('pot', 'hearts');
    story.pass(300);
    const wasC = story.run.estimate.recent.at(-1)?.tempC ?? Number.NaN;
    play(story, 'vapour-temp 87');
    play(story, 'boiler-temp 84.8');
    until(story, 200, () => story.run.state === 'held');
    expect(story.run.resume?.targetVapourC).toBeCloseTo(wasC, 0);
  });

  it('waits for any vapour at all when it was held while the front still raced past the probe', () => {
    const story = new Story('pot', 'hearts');
    const plant = storyPlant('pot');
    const step = plant.plan.findIndex((planned) => planned.step.phase === 'heat-up') + 1;
    const run: Run = { ...story.run, step, cut: { ...story.run.cut, frontPassed: false } };
    const held = hold(plant, { run, events: [] }, { code: 'order.hold', numbers: {} });
    expect(held.run.resume?.targetVapourC).toBeNull();
    const passed = { ...run, cut: { ...run.cut, frontPassed: true } };
    expect(
      hold(plant, { run: passed, events: [] }, { code: 'order.hold', numbers: {} }).run.resume?.targetVapourC,
    ).not.toBeNull();
  });

  it('a charge above 40 % vol is refused, and above 35 % vol is to be confirmed', () => {
    const still = storyPlant('pot').still;
    expect(checkStill(still).kind).toBe('ok');
    const recipe = storyPlant('pot').recipe!;
    expect(compilePlant(still, recipe, null, { volumeL: 50, strengthAbv: 0.41 }).kind).toBe('bad');
    const strong = compilePlant(still, recipe, null, { volumeL: 50, strengthAbv: 0.37 });
    expect(strong.kind === 'ok' && strong.warnings.map((one) => one.path)).toContain('charge.strength');
    if (strong.kind === 'bad') return;
    const controller = createController(strong.value, freshRun(0));
    controller.order({ id: 'o', kind: 'start', by: 'Ada', from: 'still' });
    controller.scan(1);
    expect(controller.scan(2).run.alarms['charge-strong']?.active).toBe(true);
  });
});
