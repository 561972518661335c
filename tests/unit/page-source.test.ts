import { afterEach, describe, expect, it } from 'vitest';
import { createOwnAlarms } from '../../daemon/host/own-alarms';
import { restoreRun } from '../../daemon/host/restore';
import { createStillHost } from '../../daemon/host/still-host';
import { sourceOf } from '../../daemon/page';
import type { Place, Seen } from '../../daemon/page/source';
import { shiftVapourTemp } from '../../lib/physics';
import type { OrderMessage } from '../../lib/wire';
import { english } from '../../lib/words';
import { pearSpirit } from '../../simulators/scenarios';
import { openStillhouse, type Stillhouse, type StillhouseOptions } from './page-stillhouse';

const houses: Stillhouse[] = [];
afterEach(async () => {
  for (const house of houses.splice(0)) await house.close();
});

async function open(options: StillhouseOptions = {}): Promise<Stillhouse> {
  const house = await openStillhouse(options);
  houses.push(house);
  await house.pass(20);
  return house;
}

let given = 0;
/** An order as the page gives it: with what it saw. */
async function order(house: Stillhouse, message: OrderMessage, seen: Seen = seenNow(house), from: Place = 'still') {
  given += 1;
  const outcome = await house.source.order('orchard', { id: `page-${given}`, by: 'Ada', ...message }, seen, from);
  if (outcome === null) throw new Error('there is no such still');
  return outcome;
}
const seenNow = ({ still }: Stillhouse) => ({
  run: still.runId,
  state: still.run.state,
  phase: still.run.phase,
  jar: still.run.jar?.number ?? null,
});
const start: OrderMessage = {
  order: 'start',
  recipe: 'Pear spirit',
  variant: 'white',
  chargeL: 55,
  chargeVolPercent: 29,
};
const view = (house: Stillhouse) => {
  const found = house.source.still('orchard');
  if (found === null) throw new Error('the still is gone');
  return found;
};
const reach = (house: Stillhouse, phase: string) => house.pass(20_000, () => house.still.run.phase === phase);

describe('page source: what a still shows', () => {
  it('before a run: what the probes read, nothing ahead, and which orders make sense', async () => {
    const house = await open();
    const shown = view(house);
    expect(shown).toMatchObject({ id: 'orchard', state: 'idle', phase: 'idle', run: null, next: null, alarms: [] });
    expect(shown.vapour.tempC).toBeGreaterThan(10);
    expect(shown.can).toContain('start');
    for (const kind of [
      'hold',
      'resume',
      'cut',
      'decline-cut',
      'undo-cut',
      'next-jar',
      'spout-moved',
      'reset',
    ] as const) {
      expect(shown.can).not.toContain(kind);
    }
    expect(house.source.still('nowhere')).toBe(null);
  });

  it("the daemon's own alarms among those of the still, first what nobody has answered, and takes their acknowledgement", async () => {
    const { still, journal } = await open();
    const ownAlarms = createOwnAlarms({ saying: english, nowIso: () => '', nowS: () => 60, changed: () => undefined });
    const source = sourceOf([still], journal, english, { wake: () => undefined, ownAlarms });
    ownAlarms.set('store-failing', { code: 'alarm.store-failing', numbers: { why: 'the disk is full' } });
    expect(source.still('orchard')?.alarms[0]).toMatchObject({
      id: 'store-failing',
      name: 'journal cannot be written',
      text: 'the journal cannot be written: the disk is full',
      doNow: 'Free or replace the disk. The run is held.',
      state: 'unacknowledged',
    });
    const seen = { order: 'acknowledge', target: 'store-failing', by: 'Ada' } as const;
    expect(await source.order('orchard', seen, null, 'still')).toMatchObject({ accepted: true });
    expect(source.still('orchard')?.alarms).toMatchObject([{ id: 'store-failing', state: 'acknowledged' }]);
  });

  it('in hearts: the vapour as read and at the reference pressure, the cut ahead, what stands in the receivers', async () => {
    const house = await open();
    expect(await order(house, start)).toEqual({ accepted: true, why: ['started by Ada'] });
    await reach(house, 'hearts');
    await house.pass(900);
    const shown = view(house);
    const { tempC, atReferenceC } = shown.vapour;
    expect(shown.airPressureHPa).toBeGreaterThan(950);
    expect(shown.airPressureHPa).toBeLessThan(970);
    expect(atReferenceC).toBe(shiftVapourTemp(tempC ?? 0, shown.airPressureHPa ?? 0, 1013.25));
    expect(shown.run).toMatchObject({
      recipe: 'Pear spirit',
      variant: 'white',
      potable: true,
      chargeL: 55,
      chargeVolPercent: 29,
    });
    const [far] = shown.next?.tests ?? [];
    expect(shown.next?.to).toBe('tails');
    expect(far?.unit).toBe('C');
    expect(far?.toGo).toBeCloseTo((shown.next?.thresholdHereC ?? 0) - (tempC ?? 0), 6);
    // The cut of 90.2 °C at 1013.25 hPa comes sooner under thinner air, by about 0.027 K a hPa.
    expect(shown.next?.thresholdHereC).toBeGreaterThan(88);
    expect(shown.next?.thresholdHereC).toBeLessThan(89.5);
    expect(shown.next?.guard?.text).toMatch(/come over, not before 40\.0 %/);
    const open_ = shown.receivers.filter((receiver) => receiver.open);
    expect(open_.map(({ id }) => id)).toEqual(['hearts-can']);
    expect(open_[0]?.volumeL).toBeCloseTo(
      shown.produced.fractions.find(({ fraction }) => fraction === 'hearts')?.volumeL ?? 0,
      0,
    );
    expect(shown.decisions.map(({ text }) => text).join()).toMatch(
      /heads → hearts: .* % of the charge's alcohol come over/,
    );
    expect(shown.can).toEqual(expect.arrayContaining(['hold', 'stop', 'abort', 'cut', 'next-jar', 'note']));
  });

  it('a probe that has fallen silent is never shown as if it read', async () => {
    const house = await open({ faults: [{ fault: 'dropout', target: 'vapour-temp', fromS: 200, untilS: 9000 }] });
    await house.pass(280);
    const { vapour } = view(house);
    expect(vapour).toMatchObject({ tempC: null, atReferenceC: null, quality: 'stale' });
    expect(vapour.lastC).toBeGreaterThan(10);
    expect(vapour.lastAgoS).toBeGreaterThan(90);
    expect(view(house).alarms.map(({ id }) => id)).toContain('probe-lost:vapour-temp');
  });

  it('alarms: acknowledged by name, by whom it is in the decisions', async () => {
    const house = await open({ faults: [{ fault: 'dropout', target: 'vapour-temp', fromS: 60, untilS: 9000 }] });
    await house.pass(400, () => view(house).alarms.length > 0);
    const [alarm] = view(house).alarms;
    expect(alarm).toMatchObject({ id: 'probe-lost:vapour-temp', state: 'unacknowledged', acknowledged: false });
    expect(alarm?.text).toMatch(/vapour-temp/);
    const acknowledged = await order(house, { order: 'acknowledge', target: alarm?.id ?? '' });
    expect(acknowledged).toEqual({ accepted: true, why: ['acknowledged by Ada'] });
    expect(view(house).alarms[0]).toMatchObject({ state: 'acknowledged', acknowledged: true });
    expect(view(house).decisions.at(-1)?.text).toMatch(/vapour-temp.*acknowledged by Ada/);
    await order(house, { order: 'shelve', target: alarm?.id ?? '', forS: 900 });
    expect(view(house).alarms[0]?.shelvedForS).toBeGreaterThan(800);
  });

  it('a cut that is asked, with why; and what comes of yes, no and undo', async () => {
    const phases = pearSpirit.phases.map((step) => (step.phase === 'heads' ? { ...step, cut: 'ask' as const } : step));
    const house = await open({ recipes: [{ ...pearSpirit, phases }] });
    await order(house, start);
    await house.pass(20_000, () => house.still.run.cut.asked);
    expect(view(house).asks).toEqual([
      {
        kind: 'cut',
        from: 'heads',
        to: 'hearts',
        why: expect.stringMatching(/^asked, as the recipe wants: .*come over/),
      },
    ]);
    expect(view(house).can).toContain('decline-cut');
    expect((await order(house, { order: 'decline-cut' })).accepted).toBe(true);
    expect(view(house).asks).toEqual([]);
    expect((await order(house, { order: 'cut' })).accepted).toBe(true);
    expect(view(house)).toMatchObject({ phase: 'hearts' });
    expect(view(house).undoForS).toBeGreaterThan(100);
    expect((await order(house, { order: 'undo-cut' })).accepted).toBe(true);
    expect(view(house)).toMatchObject({ phase: 'heads', undoForS: null });
  });
});

describe('page source: orders', () => {
  it('meant for another moment are refused: the cut of heads never falls in hearts', async () => {
    const house = await open();
    await order(house, start);
    await reach(house, 'heads');
    const seen = seenNow(house);
    await reach(house, 'hearts');
    for (const kind of ['cut', 'next-jar', 'resume', 'undo-cut', 'reset'] as const) {
      const outcome = await order(house, { order: kind }, seen);
      expect([kind, outcome]).toEqual([
        kind,
        { accepted: false, why: [expect.stringMatching(/moved on since you looked \(now hearts, running\)/)] },
      ]);
    }
    expect(house.still.run.phase).toBe('hearts');
    const blind = await house.source.order('orchard', { order: 'cut', id: 'page-blind' }, null, 'still');
    expect(blind).toMatchObject({ accepted: false });
  });

  it('towards the safe side are taken whatever was seen', async () => {
    const house = await open();
    await order(house, start);
    await house.pass(60);
    const old = { run: null, state: 'idle', phase: 'idle', jar: null };
    expect(await order(house, { order: 'hold' }, old)).toEqual({ accepted: true, why: ['held by Ada'] });
    expect(house.still.run.state).toBe('held');
    expect((await order(house, { order: 'stop' }, old)).accepted).toBe(true);
    expect(house.still.run.state).toBe('stopping');
  });

  it('are carried out once, however often they are sent', async () => {
    const house = await open();
    await order(house, start);
    await reach(house, 'foreshots');
    const seen = seenNow(house);
    const again = { order: 'next-jar', id: 'page-the-same', by: 'Ada' } as const;
    const outcomes = await Promise.all([1, 2, 3].map(() => house.source.order('orchard', again, seen, 'still')));
    await house.pass(5);
    outcomes.push(await house.source.order('orchard', again, seen, 'still'));
    expect(outcomes).toEqual(Array.from({ length: 4 }, () => ({ accepted: true, why: ['next jar, by Ada'] })));
    expect(house.still.run.jar?.number).toBe(1);
  });

  it('pressed twice change one jar only: the second press saw the old one', async () => {
    const house = await open();
    await order(house, start);
    await reach(house, 'foreshots');
    await order(house, { order: 'next-jar' });
    const seen = seenNow(house);
    expect((await order(house, { order: 'next-jar' }, seen)).accepted).toBe(true);
    expect((await order(house, { order: 'next-jar' }, seen)).accepted).toBe(false);
    expect(house.still.run.jar?.number).toBe(2);
  });

  it('from elsewhere only make things safer', async () => {
    const house = await open();
    expect(await order(house, start, seenNow(house), 'remote')).toEqual({
      accepted: false,
      why: [expect.stringMatching(/start must be given at the still itself/)],
    });
    expect(view(house)).toMatchObject({ remoteOrders: false });
  });

  it('to start say everything that is wrong, and check without starting', async () => {
    const house = await open();
    const strong: OrderMessage = { ...start, chargeL: 100, chargeVolPercent: 55 };
    const wrong = await order(house, strong);
    expect(wrong.accepted).toBe(false);
    expect(wrong.why.join('\n')).toMatch(/more than the boiler holds[\s\S]*too strong/);
    expect(house.source.checkStart('orchard', strong)?.length).toBe(2);
    const warned = house.source.checkStart('orchard', { ...start, chargeVolPercent: 36 });
    expect(warned?.map(({ severity }) => severity)).toEqual(['warning']);
    expect(house.still.run.state).toBe('idle');
  });

  it('that the engine does not answer are told as not known', async () => {
    const house = await open();
    const deaf = sourceOf([house.still], house.journal, english, { wake: () => undefined });
    const outcome = await deaf.order('orchard', { order: 'hold', id: 'page-unheard' }, null, 'still');
    expect(outcome).toMatchObject({ accepted: false, unknown: true });
    expect(outcome?.why[0]).toMatch(/look at the still/);
  }, 10_000);
});

describe('page source: the host that tells it of its events', () => {
  it('never suffers from a fault in here', async () => {
    const house = await open();
    const faults: unknown[] = [];
    const options = { wake: () => undefined, complain: (error: unknown) => faults.push(error) };
    const source = sourceOf([house.still], house.journal, english, options);
    source.hear('orchard', { kind: 'phase' } as never);
    source.hear('orchard', null as never);
    source.hear('nowhere', null as never);
    expect(faults.length).toBe(2);
    expect(source.still('orchard')?.id).toBe('orchard');
  });
});

describe('page source: recipes, trend and record', () => {
  it('offers the recipes that fit, with their variants and what they were made from', async () => {
    const house = await open();
    expect(house.source.recipes('orchard')).toMatchObject([
      {
        name: 'Pear spirit',
        potable: true,
        needsCharge: true,
        usualChargeL: 55,
        usualChargeVolPercent: 29,
        variants: [{ name: 'white' }, { name: 'for-oak' }],
      },
    ]);
  });

  it('keeps the trend of a run as it goes, its phases too, and the record has the same', async () => {
    const house = await open();
    await order(house, start);
    await reach(house, 'hearts');
    await house.pass(300);
    house.journal.flush();
    const trend = house.source.trend('orchard');
    const recorded = house.source.runTrend(house.still.runId ?? '');
    if (trend === null || recorded.kind !== 'ok') throw new Error('there is no trend');
    expect(trend.phases.map(({ to }) => to)).toEqual(['heat-up', 'foreshots', 'heads', 'hearts']);
    expect(recorded.value.phases).toEqual(trend.phases);
    expect(trend.atS.length).toBeGreaterThan(200);
    expect(trend.atS.length).toBeLessThanOrEqual(900);
    expect([...trend.atS].sort((a, b) => a - b)).toEqual(trend.atS);
    const lastLive = trend.vapourAtReferenceC.at(-1) ?? 0;
    const lastKept = recorded.value.vapourAtReferenceC.at(-1) ?? 0;
    expect(Math.abs(lastLive - lastKept)).toBeLessThan(0.3);
    expect(house.source.trend('nowhere')).toBe(null);
    expect(house.source.runTrend('nowhere').kind).toBe('unknown');
  });

  it('shows a run with its fractions and its decisions with their reasons', async () => {
    const house = await open();
    await order(house, start);
    await reach(house, 'hearts');
    await house.pass(600);
    await order(house, { order: 'note', text: 'smells of pear' });
    await order(house, { order: 'stop' });
    await house.pass(20_000, () => house.still.runId === null);
    const runs = house.source.runs({});
    if (runs.kind !== 'ok') throw new Error('there are no runs');
    const [line] = runs.value;
    expect(line).toMatchObject({
      stillName: 'The orchard still',
      recipe: 'Pear spirit',
      variant: 'white',
      outcome: 'stopped',
    });
    expect(line?.heartsL).toBeGreaterThan(1);
    const run = house.source.run(line?.id ?? '');
    if (run.kind !== 'ok') throw new Error('there is no run');
    expect(run.value).toMatchObject({
      potable: true,
      startedBy: 'Ada',
      chargeL: 55,
      jars: 0,
      more: 0,
      replayable: true,
    });
    expect(run.value.fractions.map(({ fraction }) => fraction)).toEqual(
      expect.arrayContaining(['foreshots', 'heads', 'hearts']),
    );
    const told = run.value.decisions.map(({ text }) => text).join('\n');
    expect(told).toMatch(/heads → hearts: .*come over/);
    expect(told).toContain('note by Ada “smells of pear”');
    expect(told).toMatch(/end of the record of this run, /);
    const report = house.source.report(line?.id ?? '');
    expect(report.kind === 'ok' && report.value).toMatch(/^<!doctype html>[\s\S]*smells of pear/);
    expect(house.source.report('nowhere').kind).toBe('unknown');
    expect(house.source.runs({ text: 'plum' })).toEqual({ kind: 'ok', value: [] });
    expect(house.source.run('nowhere').kind).toBe('unknown');
  });

  it('after a restart knows what was decided and measured before it', async () => {
    const house = await open();
    await order(house, start);
    await reach(house, 'heads');
    house.journal.flush();
    const before = view(house).decisions.map(({ text }) => text);
    const restored = restoreRun(house.journal, 'orchard');
    if (restored.kind !== 'ok') throw new Error('nothing to restore');
    const { still, recipes } = house.still;
    const again = createStillHost({
      still,
      recipes,
      speed: 1,
      journal: house.journal,
      wallClockMs: Date.now,
      resumed: restored.restored,
    });
    const source = sourceOf([again], house.journal, english, { wake: () => undefined });
    const shown = source.still('orchard');
    expect(shown).toMatchObject({ state: 'held', phase: 'heads' });
    const told = shown?.decisions.map(({ text }) => text) ?? [];
    for (const text of before) expect(told).toContain(text);
    expect(source.trend('orchard')?.atS.length).toBeGreaterThan(50);
  });
});
