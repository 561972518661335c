import { describe, expect, it } from 'vitest';
import { checkRecipe, checkStill } from '../../lib';
import { createVirtualNode } from '../tools/node-red-virtual';
import { good, potDocument, potRecipe } from '../tools/plants';

const still = good(checkStill(potDocument));
const offer = {
  recipe: good(checkRecipe(potRecipe)),
  variant: null,
  charge: { volumeL: 50, strengthAbv: 0.3 },
  unusable: null,
};
const node = (more = {}) => createVirtualNode({ still, offer, ...more });
type Node = ReturnType<typeof node>;
const beat = async (one: Node, ms = 1000) => one.timers.advance(ms);
const seen = (one: Node, point: string) => one.session.run.image[point];

describe('messages to a run node', () => {
  it('are readings when the topic names a point, whole or in its last level', async () => {
    const one = node();
    one.give({ topic: 'vapour', payload: 78.4 });
    one.give({ topic: 'stillroom/pi/boiler', payload: '91.2' });
    await beat(one);
    expect(seen(one, 'vapour')).toMatchObject({ quality: 'good', value: 78.4 });
    expect(seen(one, 'boiler')).toMatchObject({ quality: 'good', value: 91.2 });
    expect(one.errors).toEqual([]);
  });

  it('may carry several readings in one object, each under the name of its point', async () => {
    const one = node();
    one.give({ payload: { vapour: 78.4, air: 987.1, elsewhere: 3 } });
    await beat(one);
    expect(seen(one, 'vapour')?.value).toBe(78.4);
    expect(seen(one, 'air')?.value).toBe(987.1);
  });

  it('may state a unit, which is converted or refused', async () => {
    const one = node();
    one.give({ topic: 'vapour', payload: 212, unit: '°F' });
    one.give({ topic: 'air', payload: 29.53, unit: 'inHg' });
    await beat(one);
    expect(seen(one, 'vapour')?.value).toBeCloseTo(100, 9);
    // 1 inHg is 33.8639 hPa. Source: NIST SP 811, conventional inch of mercury.
    expect(seen(one, 'air')?.value).toBeCloseTo(29.53 * 33.8639, 2);
    one.give({ topic: 'boiler', payload: 90, unit: 'hPa' });
    one.give({ topic: 'boiler', payload: 90, unit: 'furlongs' });
    await beat(one);
    expect(one.errors).toHaveLength(1);
    expect(one.errors[0]).toBe('boiler: the unit hPa does not fit; C is measured here');
    expect(seen(one, 'boiler')).toMatchObject({ quality: 'bad', fault: 'unit' });
  });

  it('are taken by the table: topic filter, place, unit, JSON text, prefix and all', async () => {
    const readings = [
      { point: 'vapour', topic: 'tele/+/SENSOR', property: 'payload.DS18B20.Temperature', unit: 'F' },
      { point: 'air', topic: 'weather', property: 'pressure.station', unit: 'kPa' },
    ];
    const one = node({ readings });
    one.give({ topic: 'tele/still/SENSOR', payload: '{"DS18B20":{"Temperature":176}}' });
    one.give({ topic: 'weather', payload: 'cloudy', pressure: { station: 98.7 } });
    await beat(one);
    expect(seen(one, 'vapour')?.value).toBeCloseTo(80, 9);
    expect(seen(one, 'air')?.value).toBeCloseTo(987, 9);
    expect(one.errors).toEqual([]);
  });

  it('a table with a point, unit or topic that cannot be is refused with every problem', () => {
    const readings = [
      { point: 'vapor', topic: 'a' },
      { point: 'vapour', topic: 'a/#/b' },
      { point: 'vapour', topic: 'a', unit: 'hPa' },
    ];
    expect(() => node({ readings })).toThrow(/vapor.*is no point[\s\S]*is no topic[\s\S]*this unit measures pressure/);
  });
});

describe('bad messages', () => {
  const bad: readonly (readonly [string, Readonly<Record<string, unknown>>, RegExp])[] = [
    ['a missing payload', { topic: 'vapour' }, /^vapour: there is no value at msg.payload$/],
    ['null', { topic: 'vapour', payload: null }, /^vapour: msg.payload is null$/],
    ['text', { topic: 'vapour', payload: 'warm' }, /^vapour: msg.payload holds "warm" where a number belongs$/],
    ['empty text', { topic: 'vapour', payload: '' }, /^vapour: msg.payload is empty$/],
    ['not a number', { topic: 'vapour', payload: Number.NaN }, /^vapour: msg.payload is not a number/],
    ['infinity', { topic: 'vapour', payload: Number.POSITIVE_INFINITY }, /^vapour: msg.payload is infinite$/],
    ['an object', { topic: 'vapour', payload: { value: 3 } }, /^vapour: msg.payload holds .* where a number belongs$/],
    ['a circle', { topic: 'vapour', payload: circle() }, /^vapour: msg.payload holds .* where a number belongs$/],
    ['a list', { topic: 'vapour', payload: [78] }, /where a number belongs$/],
    ['bytes that are no text', { topic: 'vapour', payload: new Uint8Array([255, 0, 128]) }, /where a number belongs$/],
    ['the power-on value of a sensor', { topic: 'vapour', payload: -127 }, /-127 .* when it has no reading$/],
    ['a retained message', { topic: 'vapour', payload: 78, retain: true }, /^vapour: the broker had kept this message/],
    ['a wrong unit', { topic: 'vapour', payload: 78, unit: 'L' }, /^vapour: the unit L does not fit/],
    [
      'an old time stamp',
      { topic: 'vapour', payload: 78, timestamp: 1_600_000_000_000 },
      /^vapour: the reading is \d+ s old, older than the 15 s allowed$/,
    ],
    [
      'an unreadable time stamp',
      { topic: 'vapour', payload: 78, timestamp: 'yesterday' },
      /^vapour: the time stamp yesterday cannot be read/,
    ],
    [
      'a time stamp from the future',
      { topic: 'vapour', payload: 78, timestamp: '2030-01-01T00:00:00Z' },
      /^vapour: the time stamp lies \d+ s ahead/,
    ],
    [
      'a topic nobody knows',
      { topic: 'kitchen', payload: 21 },
      /^topic kitchen is no point of the still "test-pot" and no order/,
    ],
    ['nothing at all', {}, /^there is nothing in this message for the still "test-pot"/],
    ['no order', { topic: 'order', payload: 'dance' }, /^not an order: order: "dance": there is no such order/],
    ['an order of bytes', { topic: 'order', payload: new Uint8Array([255, 254]) }, /^not an order: /],
    ['an old order', { topic: 'order', payload: 'stop', retain: true }, /^stop refused: the broker had kept it/],
    [
      'jars that begin by themselves',
      { topic: 'order', payload: { order: 'start', jars: { everyL: 0.5 } } },
      /^start refused: jars that begin by themselves are for the daemon/,
    ],
    ['a senseless order', { topic: 'order', payload: 'resume' }, /^resume refused: resume is not possible while idle$/],
    ['a topic that is no text', { topic: 7, payload: 3 }, /^there is nothing in this message/],
  ];

  it.each(bad)('%s: a clear error, the state unharmed', async (_name, message, error) => {
    const one = node();
    one.give({ topic: 'air', payload: 990 });
    one.give({ topic: 'vapour', payload: 77.5 });
    await beat(one);
    const before = one.session.run;
    one.give(message);
    await beat(one, 200);
    expect(one.errors).toHaveLength(1);
    expect(one.errors[0]).toMatch(error);
    expect(one.session.run).toMatchObject({ state: before.state, phase: before.phase, receiver: before.receiver });
    expect(seen(one, 'vapour')?.value).toBe(77.5);
    expect(seen(one, 'air')).toMatchObject({ quality: 'good', value: 990 });
  });

  it('are told once and not per message, and again after they were mended', async () => {
    const one = node();
    for (let count = 0; count < 50; count += 1) one.give({ topic: 'vapour', payload: 'warm' });
    expect(one.errors).toHaveLength(1);
    one.give({ topic: 'vapour', payload: 78 });
    one.give({ topic: 'vapour', payload: 'warm' });
    expect(one.errors).toHaveLength(2);
    for (let count = 0; count < 1000; count += 1) one.give({ topic: `noise/${count}`, payload: count });
    expect(one.errors.length).toBeLessThan(250);
  });

  it('in a flood cost no flood of scans, and lose nothing', async () => {
    const one = node();
    await beat(one);
    const before = one.scans;
    for (let ms = 0; ms < 1000; ms += 1) {
      for (let count = 0; count < 10; count += 1) one.give({ topic: 'vapour', payload: 78 + ms / 1000 });
      await beat(one, 1);
    }
    expect(seen(one, 'vapour')?.value).toBeCloseTo(78.999, 9);
    expect(one.scans - before).toBeLessThan(25);
    expect(one.scans - before).toBeGreaterThan(15);
    expect(one.events('fault')).toEqual([]);
    expect(one.errors).toEqual([]);
  });
});

describe('orders', () => {
  it('from elsewhere can only make things safer', async () => {
    const one = node();
    one.give({ topic: 'vapour', payload: 20 });
    one.give({ topic: 'order', payload: 'start', from: 'remote' });
    await beat(one, 10);
    expect(one.errors[0]).toBe('start refused: start must be given at the still itself');
    one.order('start');
    await beat(one, 10);
    expect(one.session.run.state).toBe('running');
    one.give({ topic: 'order', payload: 'stop', from: 'remote' });
    await beat(one, 10);
    expect(one.session.run.state).toBe('stopping');
  });

  it('to start take the charge from the order, and the recipe they name must be this one', async () => {
    const one = node();
    one.order('start', { recipe: 'Another' });
    await beat(one, 10);
    expect(one.errors).toEqual(['start refused: the order names recipe "Another", this run has "Test spirit"']);
    one.order('start', { chargeL: 40, chargeVolPercent: 33 });
    await beat(one, 10);
    expect(one.session.plant.charge).toEqual({ volumeL: 40, strengthAbv: 0.33 });
    expect(one.session.run.state).toBe('running');
  });

  it('to start without a usable recipe say what is wrong with it', async () => {
    const one = node({ offer: { recipe: null, variant: null, charge: null, unusable: 'phases: is missing.' } });
    one.order('start');
    await beat(one, 10);
    expect(one.errors).toEqual(['start refused: phases: is missing.']);
  });

  it('to start with a charge that cannot be are refused with path, value and remedy', async () => {
    const one = node();
    one.order('start', { chargeL: 400, chargeVolPercent: 55 });
    await beat(one, 10);
    expect(one.errors[0]).toMatch(/charge.volumeL: 400: is more than the boiler holds \(60 L\). Charge less./);
    expect(one.errors[0]).toMatch(/charge.strength: "55 % vol"/);
    expect(one.session.run.state).toBe('idle');
  });

  it('msg.reset resets a run that is over, and is refused while one runs', async () => {
    const one = node();
    one.order('start');
    await beat(one, 10);
    one.give({ reset: true });
    await beat(one, 10);
    expect(one.errors).toEqual(['reset refused: reset is not possible while running']);
    one.order('abort');
    for (let second = 0; second < 120; second += 1) {
      one.give({ payload: { vapour: 20, boiler: 20, air: 990 } });
      await beat(one);
    }
    one.give({ reset: true });
    await beat(one, 10);
    expect(one.session.run.state).toBe('idle');
  });

  it('a recipe in a message goes to whoever keeps recipes', async () => {
    const one = node();
    one.give({ topic: 'recipe', payload: potRecipe });
    expect(one.recipes).toEqual([potRecipe]);
  });
});

function circle(): unknown {
  const one: Record<string, unknown> = {};
  one.self = one;
  return one;
}
