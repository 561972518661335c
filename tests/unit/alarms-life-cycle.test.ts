import { describe, expect, it } from 'vitest';
import {
  type AlarmRule,
  alarmFigures,
  alarmNormal,
  alarmState,
  hostAlarms,
  isAnnounced,
  type Run,
  stepAlarm,
} from '../../lib';
import { longestShelfS } from '../../lib/alarms/orders';
import { Story, until } from '../tools/story';
import { play } from '../tools/story-lines';

type Rule = Pick<AlarmRule, 'onDelayS' | 'offDelayS' | 'latched'>;
const usual: Rule = { onDelayS: 5, offDelayS: 10, latched: false };
const latched: Rule = { ...usual, latched: true };
const reason = { code: 'alarm.none', numbers: {} };

/** Lives one alarm through a course of conditions, one a second: `+` true, `-` false, `?` cannot be told. */
function live(rule: Rule, course: string, memory = alarmNormal, fromS = 0) {
  const told: string[] = [];
  let here = memory;
  for (const [second, sign] of [...course].entries()) {
    const on = sign === '+' ? true : sign === '-' ? false : null;
    const now = fromS + second;
    const step = stepAlarm(rule, here, { on, reason }, { now, suppressed: false, confirmed: true });
    here = step.memory;
    told.push(...step.transitions.map((transition) => `${now} ${transition}`));
  }
  return { memory: here, told };
}

/** Acknowledges as an order does. */
function answer(name: string, story: Story): void {
  play(story, `order acknowledge ${name}`);
}

describe('life of an alarm, after ISA-18.2 / IEC 62682', () => {
  it('is raised only when its condition has lasted the on-delay', () => {
    expect(live(usual, '++++-++++-').told).toEqual([]);
    expect(live(usual, '++++++').told).toEqual(['5 raised']);
  });

  it('returns only when the condition has been gone for the off-delay, and waits unacknowledged', () => {
    const lived = live(usual, `++++++${'-'.repeat(11)}`);
    expect(lived.told).toEqual(['5 raised', '16 returned']);
    expect(alarmState(lived.memory)).toBe('returned-unacknowledged');
  });

  it('goes back to normal by itself when it was acknowledged before it returned, unless it latches', () => {
    const raised = live(usual, '++++++').memory;
    const acknowledged = { ...raised, acknowledged: true };
    expect(alarmState(acknowledged)).toBe('acknowledged');
    const gone = live(usual, '-'.repeat(11), acknowledged, 6);
    expect(gone.told).toEqual(['16 returned', '16 cleared']);
    expect(alarmState(gone.memory)).toBe('normal');
    const stays = live(latched, '-'.repeat(11), acknowledged, 6);
    expect(stays.told).toEqual(['16 returned']);
    expect(alarmState(stays.memory)).toBe('latched');
  });

  it('stays as it is while its condition cannot be told', () => {
    expect(live(usual, '++++++????????????????').told).toEqual(['5 raised']);
    expect(live(usual, '??????').told).toEqual([]);
  });

  it('counts a condition that was seen, lost and seen again as having lasted', () => {
    expect(live(usual, '+?????+').told).toEqual(['6 raised']);
  });

  it('is raised again, unacknowledged, when it comes back while it still stands', () => {
    const lived = live(usual, `++++++${'-'.repeat(11)}++++++`);
    expect(lived.told).toEqual(['5 raised', '16 returned', '22 raised']);
    expect(alarmState(lived.memory)).toBe('unacknowledged');
  });

  it('is not raised by one reading alone where a second must bear it out', () => {
    const story = new Story('pot', 'hearts');
    play(story, 'element-temp 170');
    story.step();
    play(story, 'element-temp follows');
    story.pass(30);
    expect(story.alarm('element-over-temperature:element-temp').active).toBe(false);
    play(story, 'element-temp 170');
    story.pass(2);
    expect(story.alarm('element-over-temperature:element-temp').active).toBe(true);
  });

  it('takes acknowledge and clear to end one that latches', () => {
    const story = new Story('pot', 'hearts');
    play(story, 'boiler-pressure 80');
    expect(until(story, 10, () => story.alarm('boiler-over-pressure:boiler-pressure').active)).not.toBeNull();
    answer('boiler-over-pressure:boiler-pressure', story);
    expect(story.alarm('boiler-over-pressure:boiler-pressure').state).toBe('acknowledged');
    play(story, 'boiler-pressure 0');
    story.pass(40);
    expect(story.alarm('boiler-over-pressure:boiler-pressure').state).toBe('latched');
    answer('boiler-over-pressure:boiler-pressure', story);
    expect(story.alarm('boiler-over-pressure:boiler-pressure').state).toBe('normal');
  });

  it('is cleared with its trip when the run is resumed', () => {
    const story = new Story('pot', 'hearts');
    play(story, 'boiler-pressure 80');
    story.pass(10);
    play(story, 'order acknowledge');
    play(story, 'boiler-pressure 0');
    story.pass(40);
    play(story, 'order resume');
    expect(story.alarm('boiler-over-pressure:boiler-pressure').state).toBe('normal');
    expect(story.run.trips).toEqual([]);
  });

  it('serves the alarms a host raises about itself', () => {
    const lived = live(hostAlarms['disk-nearly-full'], '+'.repeat(61));
    expect(lived.told).toEqual(['60 raised']);
  });
});

describe('silence', () => {
  const alarm = 'product-warm:product-temp';

  function warm(): Story {
    const story = new Story('pot', 'hearts');
    play(story, `order shelve ${alarm} for 10 min`);
    play(story, 'product-temp 33');
    story.pass(30);
    return story;
  }

  it('a shelved alarm is evaluated and written down, but not announced', () => {
    const story = warm();
    expect(story.alarm(alarm).active).toBe(true);
    expect(isAnnounced(story.run.alarms[alarm]!)).toBe(false);
    const raised = story.events.filter(
      (event) => event.kind === 'alarm' && event.alarm === alarm && event.transition === 'raised',
    );
    expect(raised).toMatchObject([{ announced: false }]);
  });

  it('a shelf ends by itself, and the alarm that stands is announced then', () => {
    const story = warm();
    story.pass(580);
    const transitions = story.events.flatMap((event) =>
      event.kind === 'alarm' && event.alarm === alarm ? [event.transition] : [],
    );
    expect(transitions).toEqual(['shelved', 'raised', 'unshelved']);
    expect(isAnnounced(story.run.alarms[alarm]!)).toBe(true);
  });

  it.each([-5, 0, Number.NaN, 1e9, Number.POSITIVE_INFINITY])('a shelf for %s s is never for good', (forS) => {
    const story = new Story('pot', 'hearts');
    expect(story.ask('shelve', { target: alarm, forS })).toBeNull();
    const untilS = story.run.alarms[alarm]?.shelvedUntilS ?? Number.POSITIVE_INFINITY;
    expect(untilS).toBeGreaterThan(story.now);
    expect(untilS).toBeLessThanOrEqual(story.now + longestShelfS);
  });

  it('out of service lasts until somebody returns it to service', () => {
    const story = new Story('pot', 'hearts');
    play(story, `order out-of-service ${alarm}`);
    play(story, 'product-temp 33');
    story.pass(3000);
    expect(isAnnounced(story.run.alarms[alarm]!)).toBe(false);
    play(story, `order return-to-service ${alarm}`);
    expect(isAnnounced(story.run.alarms[alarm]!)).toBe(true);
  });

  it('an alarm that only repeats another is suppressed while that one stands', () => {
    const story = new Story('pot', 'hearts');
    play(story, 'all silent');
    story.pass(60);
    const raised = story.events.filter(
      (event) => event.kind === 'alarm' && event.transition === 'raised' && event.announced,
    );
    expect(raised.map((event) => event.kind === 'alarm' && event.alarm)).toEqual(['blind']);
    expect(story.alarmsNamed('probe-lost').every((id) => story.run.alarms[id]?.suppressed)).toBe(true);
  });

  it('an alarm of a point the still does not have is nothing to shelve', () => {
    const story = new Story('pot', 'hearts');
    expect(story.ask('shelve', { target: 'probe-lost:no-such-point', forS: 60 })).toBe('refused.target');
    expect(story.ask('acknowledge', { target: 'constructor' })).toBe('refused.target');
  });
});

describe('first-out', () => {
  it('is the trip that came first, not those that follow from it', () => {
    const story = new Story('pot', 'hearts');
    play(story, 'coolant-flow 0');
    story.pass(40);
    play(story, 'boiler-pressure 90');
    story.pass(20);
    expect(story.run.trips.map((trip) => trip.id)).toEqual([
      'coolant-flow-lost:coolant-flow',
      'boiler-over-pressure:boiler-pressure',
    ]);
    expect(story.run.firstOut).toBe('coolant-flow-lost:coolant-flow');
  });

  it('is the trip, even where a lesser alarm stood before it', () => {
    const story = new Story('pot', 'hearts');
    play(story, 'product-temp 33');
    story.pass(30);
    expect(story.run.firstOut).toBe('product-warm:product-temp');
    play(story, 'boiler-pressure 90');
    story.pass(10);
    expect(story.run.firstOut).toBe('boiler-over-pressure:boiler-pressure');
  });
});

describe('alarm figures', () => {
  const at = (raisings: readonly number[], more: Partial<Run['alarms'][string]> = {}) => ({
    ...alarmNormal,
    raisings,
    ...more,
  });
  const run = (alarms: Run['alarms']): Run => ({ ...new Story('bare-pot', 'idle').run, now: 1000, alarms });

  it('count the raisings of the last ten minutes', () => {
    expect(alarmFigures(run({ a: at([100, 399]), b: at([500, 900]) })).lastTenMinutes).toBe(2);
  });

  it('call more than ten in ten minutes a flood', () => {
    const many = (count: number) => Object.fromEntries(Array.from({ length: count }, (_, n) => [`a${n}`, at([700])]));
    expect(alarmFigures(run(many(10))).isFlood).toBe(false);
    expect(alarmFigures(run(many(11))).isFlood).toBe(true);
  });

  it('leave silenced ones out of the rate, and count them apart', () => {
    const figures = alarmFigures(run({ a: at([900], { shelvedUntilS: 2000, active: true, standing: true }) }));
    expect(figures).toMatchObject({ lastTenMinutes: 0, silenced: 1 });
  });

  it('find one that is raised three times in a minute chattering, and not one that is slower', () => {
    expect(alarmFigures(run({ a: at([900, 930, 960]), b: at([700, 740, 790]) })).chattering).toEqual(['a']);
  });

  it('find one that is active for more than a day standing', () => {
    const day = { active: true, standing: true, raisedAtS: 1000 - 86_401 };
    expect(alarmFigures(run({ a: at([], day), b: at([], { ...day, raisedAtS: 0 }) })).standing).toEqual(['a']);
  });

  it('keep only the last ten raisings of each, whatever chatters', () => {
    const lived = live({ onDelayS: 0, offDelayS: 0, latched: false }, '+-'.repeat(100));
    expect(lived.memory.raisings).toHaveLength(10);
  });
});
