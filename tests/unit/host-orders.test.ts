import { describe, expect, it } from 'vitest';
import { silenceLimitMs, watchLink } from '../../daemon/host/link-watch';
import { hearOrders } from '../../daemon/host/orders-in';
import { createOwnAlarms, isOwnAlarm, type OwnAlarmChange } from '../../daemon/host/own-alarms';
import { watchClock, watchDisk } from '../../daemon/host/own-watch';
import { createPulse } from '../../daemon/host/pulse';
import { alarmRules } from '../../lib/alarms';
import { hostAlarms } from '../../lib/alarms/host';
import { english, languages } from '../../lib/words';
import { fakeLink } from '../tools/fake-link';
import { hostRoom } from '../tools/host-room';
import { plantOf, potDocument, potRecipe } from '../tools/plants';

const topic = 'middlecut/test-pot/order';

function room(isDoubtful = () => false) {
  let nowMs = 0;
  const inside = hostRoom();
  inside.host.start();
  const fake = fakeLink();
  let ids = 0;
  hearOrders({
    still: inside.still,
    link: fake.link,
    from: 'remote',
    wake: () => inside.host.flush(),
    idFor: () => `made-${++ids}`,
    nowMs: () => nowMs,
    isDoubtful,
    acknowledge: (target) => target !== undefined && isOwnAlarm(target),
  });
  return {
    ...inside,
    say: (order: object | string, retained = false) =>
      fake.say(topic, typeof order === 'string' ? order : JSON.stringify(order), retained),
    wait: (ms: number) => (nowMs += ms),
    answers: () => fake.sent.map(({ payload }) => JSON.parse(payload) as { accepted: boolean; why: string[] }),
    notes: () =>
      inside.said.filter(({ topic: where, text }) => where.endsWith('/order/answer') && JSON.parse(text).accepted)
        .length,
  };
}

describe('orders from a broker', () => {
  it('are carried out once, however often a sender without an answer says them', () => {
    const { say, answers, notes } = room();
    for (let i = 0; i < 3; i += 1) say({ order: 'note', text: 'smells of pear', id: 'n1' });
    expect(notes()).toBe(1);
    expect(answers().map(({ why }) => why[0])).toEqual(Array(2).fill(expect.stringMatching(/carried out once/)));
    say({ order: 'note', text: 'smells of pear', id: 'n2' });
    expect(notes()).toBe(2);
  });

  it('are taken as fast as people can give them, and no flood fills the record', () => {
    const { say, wait, notes, answers } = room();
    for (let i = 0; i < 5000; i += 1) say({ order: 'note', text: 'x' });
    expect(notes()).toBe(100);
    expect(answers().length).toBeLessThanOrEqual(100);
    expect(answers()[0]?.why[0]).toMatch(/too many orders/);
    wait(1000);
    for (let i = 0; i < 50; i += 1) say({ order: 'note', text: 'x' });
    expect(notes()).toBe(110);
  });

  it('that make things safer have room of their own in a flood', () => {
    const { say, said } = room();
    for (let i = 0; i < 5000; i += 1) say({ order: 'note', text: 'x' });
    say({ order: 'abort', id: 'a1' });
    expect(said.some(({ topic: where, text }) => where.endsWith('/order/answer') && JSON.parse(text).id === 'a1')).toBe(
      true,
    );
  });

  it('answer nonsense with reasons, but not without end', () => {
    const { say, answers } = room();
    for (let i = 0; i < 5000; i += 1) say('make it so');
    expect(answers().length).toBe(100);
    expect(answers()[0]).toMatchObject({ accepted: false, why: [expect.stringMatching(/there is no such order/)] });
  });

  it('that may have waited while the process stood still are asked for again, but for those that never harm', () => {
    const { say, answers, said } = room(() => true);
    say({ order: 'resume', id: 'r1' });
    expect(answers()[0]).toMatchObject({ accepted: false, why: [expect.stringMatching(/stood still/)] });
    say({ order: 'note', text: 'late', id: 'n1' });
    expect(said.some(({ text }) => text.includes('"n1"'))).toBe(true);
  });
});

describe('the pulse of the process', () => {
  it('dates what comes just after a standstill to its beginning, and nothing else', () => {
    let nowMs = 0;
    const pulse = createPulse(() => nowMs);
    for (; nowMs < 10_000; nowMs += 1000) pulse.beat();
    expect(pulse.arrivalOf(nowMs)).toBe(nowMs);
    const stoppedMs = 10_000;
    nowMs = 39_000;
    expect(pulse.isDoubtful()).toBe(true);
    expect(pulse.arrivalOf(39_000)).toBe(stoppedMs);
    pulse.beat();
    nowMs = 39_900;
    expect(pulse.arrivalOf(39_900)).toBe(stoppedMs);
    pulse.beat();
    nowMs = 40_100;
    expect(pulse.isDoubtful()).toBe(false);
    expect(pulse.arrivalOf(40_100)).toBe(40_100);
  });
});

describe('a link that falls silent', () => {
  it('holds a heated run before the heater has surely switched itself off, once', () => {
    const inside = hostRoom();
    inside.host.start();
    inside.pass(5, 20);
    inside.order({ order: 'start', chargeL: 50, chargeVolPercent: 29 });
    inside.pass(30);
    expect(inside.valueOf('element')).toBe(1);
    const heardMs = inside.nowMs();
    const held: number[] = [];
    const look = watchLink([inside.still], { heardAtMs: () => heardMs }, inside.nowMs, (still, silentS) => {
      held.push(silentS);
      still.order({ order: 'hold', by: 'the daemon' }, 'still', 'link-silent');
    });
    for (let second = 0; second < 40; second += 1) {
      inside.pass(1);
      look();
    }
    // Dead-man 30 s, fed every 10 s: what was sent last may have been 10 s before the silence.
    expect(held).toHaveLength(1);
    expect(held[0]).toBeGreaterThan(20);
    expect(held[0]).toBeLessThanOrEqual(22);
    expect(inside.still.run.state).toBe('held');
    expect(inside.valueOf('element')).toBe(0);
    inside.host.stop();
  });

  it('is not blamed for a standstill of our own', () => {
    const inside = hostRoom();
    inside.host.start();
    inside.pass(5, 20);
    inside.order({ order: 'start', chargeL: 50, chargeVolPercent: 29 });
    inside.pass(30);
    let heardMs = inside.nowMs();
    const held: number[] = [];
    const look = watchLink([inside.still], { heardAtMs: () => heardMs }, inside.nowMs, (_still, silentS) =>
      held.push(silentS),
    );
    look();
    // The first turn after the standstill comes before anything is read; then the broker is heard.
    inside.pass(25);
    look();
    heardMs = inside.nowMs();
    inside.pass(1);
    look();
    expect(held).toEqual([]);
    inside.host.stop();
  });

  it('counts the engine seconds of a simulated still, but never less than a broker needs', () => {
    expect(silenceLimitMs(plantOf(), 1)).toBeCloseTo(20_000);
    expect(silenceLimitMs(plantOf(), 10)).toBeCloseTo(2000);
    expect(silenceLimitMs(plantOf(), 1000)).toBe(1000);
    const element = { ...potDocument.drives?.element, kind: 'heat', ratedW: 5000, deadManS: 9 } as const;
    expect(
      silenceLimitMs(plantOf(potRecipe, { ...potDocument, drives: { ...potDocument.drives, element } }), 1),
    ).toBeCloseTo(6000);
  });
});

describe("the daemon's own alarms", () => {
  function room() {
    const changes: OwnAlarmChange[] = [];
    let nowS = 100;
    const alarms = createOwnAlarms({
      saying: english,
      nowIso: () => '2026-04-01T12:00:00.000Z',
      nowS: () => nowS,
      changed: (change) => changes.push(change),
    });
    const pass = (seconds: number) => {
      nowS += seconds;
      alarms.turn();
    };
    return { alarms, changes, pass, said: () => changes.map(({ alarm }) => `${alarm.alarm} ${alarm.transition}`) };
  }

  it('have names no alarm of the engine has, and words for what they mean and what to do in every language', () => {
    for (const language of Object.values(languages)) {
      for (const name of Object.keys(hostAlarms)) {
        expect(alarmRules.map(({ id }) => id)).not.toContain(name);
        expect(language.sentences[`alarm.${name}`]?.length ?? 0).toBeGreaterThan(15);
        expect(language.names[name]?.length ?? 0).toBeGreaterThan(5);
        expect(language.guidance[name]?.means.length ?? 0).toBeGreaterThan(15);
        expect(language.guidance[name]?.now.length ?? 0).toBeGreaterThan(15);
      }
    }
  });

  it('are raised once, seen, and return after their delay: an acknowledged one is gone then, another one stands', () => {
    const { alarms, changes, pass, said } = room();
    expect(new Set(alarms.messages().map((message) => message.reason.text))).toEqual(new Set(['nothing is wrong']));
    const reason = { code: 'alarm.store-failing', numbers: { why: 'the disk is full' } };
    alarms.set('store-failing', reason);
    alarms.set('store-failing', reason);
    expect(alarms.standing).toEqual(['store-failing']);
    expect(alarms.acknowledge('link-silent')).toBe(false);
    expect(alarms.acknowledge()).toBe(true);
    alarms.set('store-failing', null);
    pass(4);
    expect(alarms.standing).toEqual(['store-failing']);
    pass(2);
    expect(alarms.standing).toEqual([]);
    expect(said()).toEqual([
      'store-failing raised',
      'store-failing acknowledged',
      'store-failing returned',
      'store-failing cleared',
    ]);
    expect(changes[0]?.alarm.reason.text).toBe('the journal cannot be written: the disk is full');
    alarms.set('link-silent', { code: 'alarm.link-silent', numbers: { silentS: 21 } });
    alarms.set('link-silent', null);
    pass(0);
    expect(alarms.views()).toMatchObject([
      { id: 'link-silent', state: 'returned-unacknowledged', acknowledged: false },
    ]);
    expect(alarms.acknowledge('link-silent')).toBe(true);
    expect(alarms.views()).toEqual([]);
  });

  it('tell a clock that jumped, once, and a disk that is nearly full after a minute; a clock that drifts is nothing', () => {
    const { alarms, pass, said } = room();
    let [wallMs, nowMs, freeBytes] = [1e12, 0, 100e6];
    const clock = watchClock(
      alarms,
      () => wallMs,
      () => nowMs,
    );
    const disk = watchDisk(
      alarms,
      () => ({ freeBytes, freePercent: 1.5 }),
      () => nowMs,
    );
    const turn = (jumpMs = 0) => {
      nowMs += 1000;
      wallMs += 1010 + jumpMs;
      clock();
      disk();
      pass(1);
    };
    for (let second = 0; second < 30; second += 1) turn();
    expect(said()).toEqual([]);
    turn(-3_600_000);
    expect(alarms.views()[0]?.text).toMatch(/^the clock jumped by .*; the run goes by its own time$/);
    for (let second = 0; second < 40; second += 1) turn();
    expect(said()).toEqual(['clock-jumped raised', 'disk-nearly-full raised']);
    freeBytes = 50e9;
    for (let second = 0; second < 150; second += 1) turn();
    expect(said().slice(2)).toEqual(['clock-jumped returned', 'disk-nearly-full returned']);
  });
});
