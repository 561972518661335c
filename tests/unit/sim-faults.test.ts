import { describe, expect, it } from 'vitest';
import type { Command, Reading } from '../../lib/engine/types';
import { createFaults, type FaultPlan, faultNames, faultRules } from '../../simulators/faults';
import { scenarios, specOf } from '../../simulators/scenarios';

const spec = specOf(scenarios['pot-spirit']);

function reading(point: string, value: number, atS: number): Reading {
  return { point, value, atS };
}

function command(drive: string, value: number): Command {
  return {
    id: 'c1',
    drive,
    value,
    issuedAtS: 0,
    ttlS: 10,
    repeat: false,
    safe: false,
    reason: { code: 'x', numbers: {} },
  };
}

/** Vapour 80 °C + 0.01 K/s, boiler 90 °C, air 963 hPa, one of each a second, through the faults. */
function pass(plans: readonly FaultPlan[], seconds: number, seed = 1): Reading[] {
  const faults = createFaults(plans, spec, seed);
  const out: Reading[] = [];
  for (let atS = 1; atS <= seconds; atS++) {
    faults.begin(atS, 1, 50);
    const batch = [
      reading('vapour-temp', 80 + atS / 100, atS),
      reading('boiler-temp', 90, atS),
      reading('air-pressure', 963, atS),
    ];
    out.push(...faults.readings(batch));
  }
  return out;
}

const plan = (fault: string, over: Partial<FaultPlan> = {}): FaultPlan => ({ fault, fromS: 50, untilS: 100, ...over });
const of = (readings: readonly Reading[], point: string) => readings.filter((one) => one.point === point);

describe('every fault', () => {
  it.each(faultNames)(
    '%s says what it is, finds a target on the demo pot, and does nothing outside its time',
    (fault) => {
      const rule = faultRules[fault];
      expect(rule.what).toMatch(/^[a-z].{10,}$/);
      expect(rule.targetsOf(spec.still).length).toBeGreaterThan(0);
      const none = pass([], 40);
      expect(pass([plan(fault)], 40)).toEqual(none);
      const faults = createFaults([plan(fault)], spec, 1);
      faults.begin(200, 1, 50);
      expect(faults.active).toEqual([]);
      expect(faults.world()).toEqual(createFaults([], spec, 1).world());
      expect(faults.drives()).toEqual({});
      expect(faults.commands([command('heat', 1)])).toEqual([command('heat', 1)]);
    },
  );

  it.each(faultNames)('%s changes something while it is on', (fault) => {
    const seen = { readings: pass([plan(fault)], 200), before: pass([], 200) };
    const faults = createFaults([plan(fault)], spec, 1);
    faults.begin(60, 1, 50);
    const world = faults.world();
    const drives = faults.drives();
    const commands = Array.from({ length: 20 }, () => faults.commands([command('heat', 1)])).flat();
    const changed =
      JSON.stringify(seen.readings) !== JSON.stringify(seen.before) ||
      JSON.stringify(world) !== JSON.stringify(createFaults([], spec, 1).world()) ||
      Object.keys(drives).length > 0 ||
      commands.length !== 20;
    expect(changed).toBe(true);
    expect(faults.active.length).toBe(1);
  });

  it('draws from a stream of its own: another fault more shifts no other', () => {
    const alone = pass([plan('spike')], 200);
    const together = pass([plan('noise', { target: 'boiler-temp' }), plan('spike')], 200);
    expect(of(together, 'vapour-temp')).toEqual(of(alone, 'vapour-temp'));
    expect(of(together, 'boiler-temp')).not.toEqual(of(alone, 'boiler-temp'));
  });

  it('is the same for the same seed and another for another', () => {
    expect(pass([plan('noise')], 120, 4)).toEqual(pass([plan('noise')], 120, 4));
    expect(pass([plan('noise')], 120, 4)).not.toEqual(pass([plan('noise')], 120, 5));
  });

  it('is refused when unknown or aimed at nothing, with what there is', () => {
    expect(() => createFaults([plan('gremlins')], spec, 1)).toThrow(/no fault 'gremlins'; use stuck-probe/);
    expect(() => createFaults([plan('dropout', { target: 'nose' })], spec, 1)).toThrow(/use vapour-temp/);
  });
});

describe('faults of readings', () => {
  const vapour = (fault: string, over: Partial<FaultPlan> = {}) => of(pass([plan(fault, over)], 150), 'vapour-temp');

  it('stuck: repeats the last value before it', () => {
    const readings = vapour('stuck-probe');
    expect(new Set(readings.filter((one) => one.atS >= 50 && one.atS < 100).map((one) => one.value))).toEqual(
      new Set([80.49]),
    );
    expect(readings.at(-1)?.value).toBeCloseTo(81.5);
  });

  it('spike: wild readings by its size, now and then, never two in a row', () => {
    const readings = of(pass([plan('spike', { untilS: 2050, size: 5 })], 2050), 'vapour-temp');
    const wild = readings.filter((one) => Math.abs(one.value! - (80 + one.atS / 100)) > 1);
    for (const one of wild) expect(Math.abs(one.value! - (80 + one.atS / 100))).toBeCloseTo(5);
    expect(wild.length / 2000).toBeGreaterThan(0.03);
    expect(wild.length / 2000).toBeLessThan(0.07);
    const gapsS = wild.slice(1).map((one, at) => one.atS - wild[at]!.atS);
    expect(Math.min(...gapsS)).toBeGreaterThan(1);
  });

  it('dropout: silence for its time', () => {
    expect(vapour('dropout').filter((one) => one.atS >= 50 && one.atS < 100)).toEqual([]);
    expect(vapour('dropout').length).toBe(100);
  });

  it('drift: grows with time by its size an hour, and is gone after', () => {
    const readings = vapour('drift', { size: 36 });
    expect(readings.find((one) => one.atS === 99)!.value).toBeCloseTo(80.99 + 36 * (49 / 3600), 6);
    expect(readings.find((one) => one.atS === 100)!.value).toBeCloseTo(81, 6);
  });

  it('not a number: no value, always a reason', () => {
    const bad = vapour('not-a-number').filter((one) => one.atS >= 50 && one.atS < 100);
    expect(bad.length).toBe(50);
    for (const one of bad) {
      expect(one.value).toBeNull();
      expect(one.fault).toBeDefined();
    }
    expect(new Set(bad.map((one) => one.fault)).size).toBeGreaterThan(4);
  });

  it('swapped: vapour and boiler change places', () => {
    const readings = pass([plan('swapped-probes')], 150).filter((one) => one.atS === 60);
    expect(of(readings, 'vapour-temp')[0]?.value).toBe(90);
    expect(of(readings, 'boiler-temp')[0]?.value).toBeCloseTo(80.6);
  });

  it('late: the same values in order, later by its size, none lost', () => {
    const readings = vapour('late', { size: 8 });
    expect(readings.length).toBe(150);
    const during = readings.filter((one) => one.atS >= 60 && one.atS < 100);
    for (const one of during) expect(one.value).toBeCloseTo(80 + (one.atS - 8) / 100, 6);
    const values = readings.map((one) => one.value!);
    expect([...values].sort((a, b) => a - b)).toEqual(values);
  });

  it('reordered: none lost, none twice, but out of order', () => {
    const readings = vapour('reordered', { size: 10 });
    const values = readings.map((one) => one.value!);
    expect(values.length).toBe(150);
    const sorted = [...values].sort((a, b) => a - b);
    expect(sorted).toEqual(of(pass([], 150), 'vapour-temp').map((one) => one.value));
    expect(values).not.toEqual(sorted);
  });

  it('retained: the very first value again, marked or not', () => {
    const marked = vapour('retained').filter((one) => one.fault === 'retained');
    expect(marked.length).toBeGreaterThan(0);
    for (const one of marked) expect(one.value).toBeCloseTo(80.01);
    const unmarked = vapour('retained', { size: 1 });
    expect(unmarked.length).toBe(150 + marked.length);
    expect(unmarked.every((one) => one.fault === undefined)).toBe(true);
  });

  it('wrong pressure: what a weather service would say at 420 m', () => {
    const air = of(pass([plan('wrong-pressure')], 60), 'air-pressure').at(-1)!;
    expect(air.value).toBeCloseTo(963 * 1.0514, 0);
  });

  it('power dip and lost link: nothing is heard', () => {
    for (const fault of ['power-dip', 'link-lost'])
      expect(pass([plan(fault)], 150).filter((one) => one.atS >= 50 && one.atS < 100)).toEqual([]);
  });
});

describe('faults of the site', () => {
  const at = (one: FaultPlan, boilerL = 50) => {
    const faults = createFaults([one], spec, 1);
    faults.begin(60, 1, boilerL);
    return faults;
  };

  it('set what they say', () => {
    expect(at(plan('coolant-lost')).world().coolantSupplyShare).toBe(0);
    expect(at(plan('coolant-lost', { size: 0.3 })).world().coolantSupplyShare).toBe(0.3);
    expect(at(plan('blocked-path', { size: 0.1 })).world().pathOpenShare).toBe(0.1);
    expect(at(plan('leak')).world().leakShare).toBe(0.15);
    expect(at(plan('power-dip')).world().mainsOn).toBe(false);
    expect(at(plan('full-receiver', { target: 'hearts-can', size: 1 })).world().ballastL).toEqual({ 'hearts-can': 24 });
    expect(at(plan('relay-welded')).drives()).toEqual({ heat: { welded: true } });
    expect(at(plan('valve-stuck', { target: 'hearts-valve', size: 1 })).drives()).toEqual({
      'hearts-valve': { stuckAt: 1 },
    });
    expect(at(plan('valve-stuck')).drives()).toEqual({ 'heads-valve': { stuckAt: 'here' } });
  });

  it('drain the boiler only until the element is bare', () => {
    expect(at(plan('element-exposed')).world().drainLPerH).toBe(3000);
    expect(at(plan('element-exposed'), 1).world().drainLPerH).toBe(0);
  });

  it('lose about half the commands to one drive and none to another', () => {
    const faults = at(plan('lost-command', { target: 'heat' }));
    let heard = 0;
    for (let index = 0; index < 1000; index++) heard += faults.commands([command('heat', 1)]).length;
    expect(heard).toBeGreaterThan(420);
    expect(heard).toBeLessThan(580);
    expect(faults.commands([command('coolant', 1)]).length).toBe(1);
  });

  it('act together', () => {
    const faults = createFaults(
      [plan('leak', { size: 0.1 }), plan('coolant-lost'), plan('leak', { size: 0.2 })],
      spec,
      1,
    );
    faults.begin(60, 1, 50);
    expect(faults.world()).toMatchObject({ coolantSupplyShare: 0 });
    expect(faults.world().leakShare).toBeCloseTo(0.3);
  });
});
