import { describe, expect, it } from 'vitest';
import type { Plant, Run } from '../../lib';
import type { Wanted } from '../../lib/engine/control';
import { interlock, interlocks } from '../../lib/engine/interlock';
import { Story } from '../tools/story';
import { storyPlant } from '../tools/story-still';

const reason = { code: 'drive.phase', numbers: { phase: 'hearts', state: 'running' } };
const trip = { id: 'dry-boil:boiler-temp', atS: 0, reason: { code: 'alarm.dry-boil', numbers: {} } };

/** A run in hearts with the heat on, and what the recipe wants there. */
function inHearts(): { plant: Plant; run: Run; wanted: Wanted } {
  const { plant, run } = new Story('pot', 'hearts');
  return {
    plant,
    run,
    wanted: wants({ heat: 0.8, coolant: 1, contactor: 1, 'heads-valve': 0, 'hearts-valve': 1, 'feints-valve': 0 }),
  };
}

function wants(values: Readonly<Record<string, number | string>>): Wanted {
  return Object.fromEntries(Object.entries(values).map(([id, value]) => [id, { value, reason }]));
}

function one(name: keyof typeof interlocks, plant: Plant, run: Run, wanted: Wanted): Wanted {
  const rule = interlocks[name];
  if (rule === undefined) throw new Error(`no interlock ${name}`);
  return rule(plant, run, wanted);
}

const values = (wanted: Wanted) => Object.fromEntries(Object.entries(wanted).map(([id, { value }]) => [id, value]));

/** Shows a point as read just now. */
function shown(run: Run, point: string, value: number): Run {
  const seen = run.image[point]!;
  return {
    ...run,
    image: { ...run.image, [point]: { ...seen, quality: 'good', value, goodAtS: run.now, atS: run.now } },
  };
}

describe('interlocks, each alone', () => {
  it('leave a healthy run as it is', () => {
    const { plant, run, wanted } = inHearts();
    for (const rule of Object.values(interlocks)) expect(rule(plant, run, wanted)).toEqual(wanted);
  });

  it('heat off when tripped, with the trip as the reason', () => {
    const { plant, run, wanted } = inHearts();
    const after = one('heatOffWhenTripped', plant, { ...run, trips: [trip] }, wanted);
    expect(after.heat).toMatchObject({ value: 0, reason: { code: 'interlock.trip', because: [trip.reason] } });
    expect(after.coolant?.value).toBe(1);
  });

  it('heat only while running', () => {
    const { plant, run, wanted } = inHearts();
    for (const state of ['idle', 'held', 'stopping', 'complete', 'stopped', 'aborted'] as const) {
      expect(one('heatOnlyWhileRunning', plant, { ...run, state }, wanted).heat?.value, state).toBe(0);
    }
  });

  it('heat only with a path that is proven open', () => {
    const { plant, run, wanted } = inHearts();
    expect(one('heatOnlyWithOpenPath', plant, { ...run, receiver: null }, wanted).heat?.value).toBe(0);
    expect(one('heatOnlyWithOpenPath', plant, shown(run, 'hearts-state', 0), wanted).heat?.value).toBe(0);
    const bare = new Story('bare-pot', 'hearts');
    expect(one('heatOnlyWithOpenPath', bare.plant, { ...bare.run, receiver: null }, wanted).heat?.value).toBe(0.8);
  });

  it('heat only while what still comes over has room', () => {
    const { plant, run, wanted } = inHearts();
    expect(one('heatOnlyWithRoom', plant, shown(run, 'hearts-volume', 24.99), wanted).heat?.value).toBe(0);
    expect(one('heatOnlyWithRoom', plant, shown(run, 'hearts-volume', 24), wanted).heat?.value).toBe(0.8);
    const steam = new Story('steam-pot', 'hearts');
    const full = shown(steam.run, 'hearts-volume', 23);
    expect(one('heatOnlyWithRoom', steam.plant, full, wanted).heat?.value).toBe(0);
  });

  it('less heat while an alarm asks for it, shelved or not, and no other drive changes', () => {
    const { plant, run, wanted } = inHearts();
    const alarm = {
      ...run.alarms,
      'scorching:element-temp': memory({ active: true, shelvedUntilS: 1e9, outOfService: true }),
    };
    const after = one('lessHeatWhenAsked', plant, { ...run, alarms: alarm }, wanted);
    expect(values(after)).toEqual({ ...values(wanted), heat: 0.4 });
    expect(after.heat?.reason.code).toBe('interlock.less-heat');
  });

  it('the second contactor opens only when heat will not stop', () => {
    const { plant, run, wanted } = inHearts();
    expect(one('contactorWhenHeatWillNotStop', plant, { ...run, trips: [trip] }, wanted).contactor?.value).toBe(1);
    const welded = { ...trip, id: 'heat-not-stopping:heat' };
    expect(one('contactorWhenHeatWillNotStop', plant, { ...run, trips: [trip, welded] }, wanted).contactor?.value).toBe(
      0,
    );
  });

  it('coolant runs whatever the recipe says, until heat is off, its run-on over and the boiler 15 K below its boiling point', () => {
    const { plant, run } = inHearts();
    const off = wants({ coolant: 0 });
    expect(one('coolantWhileHot', plant, run, off).coolant).toMatchObject({
      value: 1,
      reason: { code: 'interlock.coolant' },
    });
    const cooled = (boilerC: number, vapourC: number): Run => {
      const quiet = { ...run, state: 'held' as const, heatAtS: run.now - 60 };
      const drives = { ...run.drives, heat: { ...run.drives.heat!, value: 0, changedAtS: run.now - 60 } };
      const read = shown(
        shown(shown({ ...quiet, drives }, 'boiler-temp', boilerC), 'vapour-temp', vapourC),
        'heat-power',
        0,
      );
      return read;
    };
    expect(one('coolantWhileHot', plant, cooled(75, 40), off).coolant?.value).toBe(1);
    expect(one('coolantWhileHot', plant, cooled(65, 40), off).coolant?.value).toBe(0);
    expect(one('coolantWhileHot', plant, cooled(65, 75), off).coolant?.value, 'the head is hot').toBe(1);
    const recent = { ...cooled(65, 40), heatAtS: run.now - 5 };
    expect(one('coolantWhileHot', plant, recent, off).coolant?.value, 'the run-on').toBe(1);
    const blind = cooled(65, 40);
    const unknown = {
      ...blind,
      image: { ...blind.image, 'boiler-temp': { ...blind.image['boiler-temp']!, quality: 'stale' as const } },
    };
    expect(one('coolantWhileHot', plant, unknown, off).coolant?.value, 'unknown means on').toBe(1);
  });

  it('the hearts receiver opens for hearts only, but stays open while it is being left', () => {
    const { plant, run, wanted } = inHearts();
    const heads = { ...run, spout: { fraction: 'heads' as const, pending: null }, receiver: 'heads' };
    const after = one('heartsOnlyInHearts', plant, heads, wanted);
    expect(after['hearts-valve']).toMatchObject({ value: 0, reason: { code: 'interlock.hearts-only' } });
    const opening = { ...heads, switching: { from: 'heads', to: 'hearts', sinceS: run.now, step: 'opening' as const } };
    expect(one('heartsOnlyInHearts', plant, opening, wanted)['hearts-valve']?.value).toBe(0);
    const leaving = {
      ...heads,
      switching: { from: 'hearts', to: 'feints', sinceS: run.now, step: 'opening' as const },
    };
    expect(one('heartsOnlyInHearts', plant, leaving, wanted)['hearts-valve']?.value).toBe(1);
  });

  it('a receiver that is full to the brim is not opened anew, but not shut either', () => {
    const { plant, run } = inHearts();
    const full = shown(run, 'feints-volume', 30);
    expect(one('noOpeningWhenFull', plant, full, wants({ 'feints-valve': 1 }))['feints-valve']?.value).toBe(0);
    const brim = shown(run, 'hearts-volume', 25);
    expect(one('noOpeningWhenFull', plant, brim, wants({ 'hearts-valve': 1 }))['hearts-valve']?.value).toBe(1);
  });

  it('never all receivers closed while hot, and not before the still is below 40 °C', () => {
    const { plant, run } = inHearts();
    const shut = wants({ 'heads-valve': 0, 'hearts-valve': 0, 'feints-valve': 0 });
    expect(values(one('openPathWhileHot', plant, run, shut))).toMatchObject({ 'hearts-valve': 1, 'heads-valve': 0 });
    const off = { ...run.drives, heat: { ...run.drives.heat!, value: 0, changedAtS: run.now - 600 } };
    const at = (boilerC: number) =>
      shown(
        shown(
          shown({ ...run, drives: off, heatAtS: run.now - 600, state: 'held' }, 'boiler-temp', boilerC),
          'vapour-temp',
          25,
        ),
        'heat-power',
        0,
      );
    expect(one('openPathWhileHot', plant, at(45), shut)['hearts-valve']?.value).toBe(1);
    expect(one('openPathWhileHot', plant, at(35), shut)['hearts-valve']?.value).toBe(0);
  });

  it('opens the feints receiver where the open one is found closed', () => {
    const { plant, run, wanted } = inHearts();
    const after = one('openPathWhileHot', plant, shown(run, 'hearts-state', 0), wanted);
    expect(after['feints-valve']).toMatchObject({ value: 1, reason: { code: 'interlock.open-path' } });
  });

  it('leaves a diverter alone: it always leads somewhere', () => {
    const story = new Story('column', 'hearts');
    const wanted = wants({ spout: 'feints' });
    expect(one('openPathWhileHot', story.plant, story.run, wanted)).toEqual(wanted);
  });

  it('with vapour in the room nothing in the zone is told anything, and the heat still goes off', () => {
    const { plant, run } = inHearts();
    const leak = { ...run, trips: [{ ...trip, id: 'vapour-leak:vapour-gas' }] };
    const wanted = wants({ heat: 0, contactor: 0, coolant: 1, 'heads-valve': 1, 'hearts-valve': 0, 'feints-valve': 0 });
    const after = one('nothingSwitchedInVapour', plant, leak, wanted);
    expect(Object.keys(after).sort()).toEqual(['contactor', 'coolant', 'heat']);
    const outside = { ...plant.still.drives['feints-valve']!, inZone: false };
    const rated = { ...plant, still: { ...plant.still, drives: { ...plant.still.drives, 'feints-valve': outside } } };
    expect(one('nothingSwitchedInVapour', rated, leak, wanted)['feints-valve']?.value).toBe(0);
  });
});

describe('interlocks together', () => {
  it('the open path comes before purity', () => {
    const { plant, run } = inHearts();
    const heads = { ...run, spout: { fraction: 'heads' as const, pending: null }, receiver: 'heads' };
    const drives = { ...run.drives };
    for (const id of ['heads-valve', 'feints-valve'])
      drives[id] = { ...run.drives['hearts-valve']!, value: 1, changedAtS: run.now - 60 };
    // Heads and feints were told to open and say that they are closed: only hearts is left.
    const found = shown(shown({ ...heads, drives }, 'heads-state', 0), 'feints-state', 0);
    const after = interlock(plant, found, wants({ heat: 1, 'heads-valve': 1, 'feints-valve': 1, 'hearts-valve': 0 }));
    expect(after['hearts-valve']).toMatchObject({ value: 1, reason: { code: 'interlock.open-path' } });
    expect(after.heat?.value).toBe(0);
  });

  it('the open path comes before no overflow', () => {
    const { plant, run } = inHearts();
    const full = shown(shown(shown(run, 'hearts-volume', 25), 'feints-volume', 30), 'heads-volume', 8);
    const after = interlock(plant, full, wants({ heat: 1, 'heads-valve': 0, 'hearts-valve': 0, 'feints-valve': 0 }));
    expect(after['hearts-valve']?.value).toBe(1);
    expect(after.heat?.value).toBe(0);
  });

  it('vapour in the room comes before all else', () => {
    const { plant, run } = inHearts();
    const leak = { ...run, trips: [{ ...trip, id: 'vapour-leak:vapour-gas' }] };
    const after = interlock(plant, leak, wants({ heat: 1, 'heads-valve': 0, 'hearts-valve': 0, 'feints-valve': 0 }));
    expect(after.heat?.value).toBe(0);
    expect(after['hearts-valve']).toBeUndefined();
  });

  it('a still without drives wants nothing and gets nothing', () => {
    const plant = storyPlant('bare-pot');
    const watching = { ...plant, still: { ...plant.still, drives: {} } };
    expect(interlock(watching, new Story('bare-pot', 'idle').run, {})).toEqual({});
  });
});

function memory(more: Partial<Run['alarms'][string]>): Run['alarms'][string] {
  return {
    active: false,
    trueSinceS: null,
    falseSinceS: null,
    acknowledged: true,
    standing: false,
    raisedAtS: null,
    shelvedUntilS: null,
    outOfService: false,
    suppressed: false,
    reason: null,
    raisings: [],
    ...more,
  };
}
