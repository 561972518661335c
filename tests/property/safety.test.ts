import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { freshRun, type Order, type Reading, type Run, rebuilt, scan } from '../../lib';
import { allowedStates } from '../../lib/engine/orders';
import { brokenRules } from '../tools/safety-invariants';
import { type Beginning, Story } from '../tools/story';
import { type StoryStill, storyPlant, storyStills } from '../tools/story-still';

const stills = Object.keys(storyStills) as StoryStill[];
const beginnings: readonly Beginning[] = ['idle', 'heat-up', 'heads', 'hearts', 'held', 'cool-down'];
const orderKinds = Object.keys(allowedStates) as Order['kind'][];
const targets = [
  'all',
  'heads',
  'hearts',
  'feints',
  'coolant-flow-lost:coolant-flow',
  'receiver-stuck',
  'blind',
  'constructor',
  'probe-lost:vapour-temp',
  'nothing',
  '',
] as const;

/** Something that may happen at a still, as a mutation of the story. */
type Happening = (story: Story) => void;

const temperature = fc.double({ min: -20, max: 160, noNaN: true });
const anyValue = fc.oneof(
  temperature,
  fc.double({ min: 0, max: 1.2, noNaN: true }),
  fc.constantFrom(85, -127, 0, 1, 1e6, -1e6, 1013.25, 500),
);

const override: fc.Arbitrary<Happening> = fc
  .tuple(fc.nat(), anyValue, fc.constantFrom('value', 'stays', 'sticks', 'silent', 'text', 'moves', 'follows'))
  .map(([pick, value, kind]) => (story) => {
    const points = Object.keys(story.plant.still.points);
    const point = points[pick % points.length] ?? '';
    const shown = story.world.shown[point] ?? 20;
    if (kind === 'follows') story.override(point, null);
    else if (kind === 'silent' || kind === 'text') story.override(point, { kind });
    else if (kind === 'moves')
      story.override(point, { kind, from: shown, perS: value / 600, until: null, sinceS: story.now });
    else story.override(point, { kind: kind as 'value' | 'stays' | 'sticks', value });
  });

const drive: fc.Arbitrary<Happening> = fc
  .tuple(fc.nat(), fc.constantFrom('sticks', 'welds', 'moves', 0, 1, 2))
  .map(([pick, what]) => (story) => {
    const ids = Object.keys(story.world.drives);
    const here = story.world.drives[ids[pick % ids.length] ?? ''];
    if (here === undefined) return;
    if (what === 'moves') Object.assign(here, { stuck: false, welded: false, reports: null });
    else if (what === 'sticks') here.stuck = true;
    else if (what === 'welds') here.welded = true;
    else here.reports = Number(what);
  });

const order: fc.Arbitrary<Happening> = fc
  .tuple(
    fc.constantFrom(...orderKinds),
    fc.option(fc.constantFrom(...targets)),
    fc.constantFrom('still', 'remote'),
    fc.constantFrom(undefined, -5, 0, 60, 1e9, Number.NaN),
  )
  .map(([kind, target, from, forS]) => (story) => {
    story.give(kind, {
      from,
      text: 'said',
      ...(target === null ? {} : { target }),
      ...(forS === undefined ? {} : { forS }),
    });
  });

/** Orders that carry a run on: without them most walks would end in the first minute. */
const carryOn: fc.Arbitrary<Happening> = fc
  .constantFrom('acknowledge', 'resume', 'start', 'reset', 'cut')
  .map((kind) => (story) => {
    story.give('acknowledge', { target: 'all' });
    story.give(kind as Order['kind']);
  });

const site: fc.Arbitrary<Happening> = fc.constantFrom(
  (story: Story) => {
    story.world.linkUp = !story.world.linkUp;
  },
  (story: Story) => {
    story.world.powerOn = false;
    story.pass(40);
    story.world.powerOn = true;
    story.restart();
  },
  (story: Story) => story.restart(),
  (story: Story) => story.freeze(45),
  (story: Story) => {
    for (const point of Object.keys(story.plant.still.points)) story.override(point, null);
  },
);

const happening = fc.oneof(
  { weight: 4, arbitrary: override },
  { weight: 2, arbitrary: drive },
  { weight: 3, arbitrary: order },
  { weight: 3, arbitrary: carryOn },
  { weight: 1, arbitrary: site },
);
const walk = fc.array(fc.tuple(happening, fc.constantFrom(1, 3, 8, 20, 70)), { minLength: 1, maxLength: 25 });

/** Walks a still through whatever happens; the run after it. */
function walked(still: StoryStill, beginning: Beginning, steps: readonly (readonly [Happening, number])[]): Story {
  const story = new Story(still, beginning);
  for (const [happens, thenS] of steps) {
    happens(story);
    story.pass(thenS);
  }
  return story;
}

describe('whatever happens at a still', () => {
  const walks = fc.tuple(fc.constantFrom(...stills), fc.constantFrom(...beginnings), walk);

  it('heat needs a running state and no trip, a path stays open, hearts stay clean, trips stay, reasons have words', {
    timeout: 120_000,
  }, () => {
    fc.assert(
      fc.property(walks, ([still, beginning, steps]) => {
        expect(walked(still, beginning, steps).broken).toEqual([]);
      }),
      { numRuns: 300, seed: 20 },
    );
  });

  it('the run stays plain JSON of bounded size', { timeout: 60_000 }, () => {
    fc.assert(
      fc.property(walks, ([still, beginning, steps]) => {
        const { run } = walked(still, beginning, steps);
        const text = JSON.stringify(run);
        expect(JSON.stringify(JSON.parse(text))).toBe(text);
        expect(text.length).toBeLessThan(80_000);
      }),
      { numRuns: 60, seed: 21 },
    );
  });

  it('silence changes nothing but who is told: commands are the same with every alarm shelved and out of service', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...stills),
        fc.array(fc.tuple(override, fc.constantFrom(3, 20, 70)), { maxLength: 8 }),
        (still, steps) => {
          const heatOf = (silenced: boolean): unknown[] => {
            const story = new Story(still, 'hearts');
            if (silenced) {
              for (const id of Object.keys(story.run.alarms)) {
                story.give('shelve', { target: id, forS: 3600 });
                story.give('out-of-service', { target: id });
              }
            }
            story.pass(1);
            const told: unknown[] = [];
            for (const [happens, thenS] of steps) {
              happens(story);
              story.pass(thenS);
              told.push(
                Object.entries(story.run.drives).map(([id, memory]) => [id, memory.value]),
                story.run.trips.map((trip) => trip.id),
              );
            }
            return told;
          };
          expect(heatOf(true)).toEqual(heatOf(false));
        },
      ),
      { numRuns: 40, seed: 22 },
    );
  });
});

const odd = fc.oneof(
  fc.double(),
  fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, -0, 85, 1e308, Number.MIN_VALUE),
);
const names = [
  'vapour-temp',
  'boiler-temp',
  'element-temp',
  'air-pressure',
  'button',
  'hearts-state',
  '__proto__',
  'constructor',
  'toString',
  'hasOwnProperty',
  'no-such-point',
  '',
] as const;
const oddReading: fc.Arbitrary<Reading> = fc
  .tuple(
    fc.constantFrom(...names),
    fc.oneof(fc.constant(null), odd),
    odd,
    fc.constantFrom(undefined, 'missing', 'sentinel', 'retained'),
  )
  .map(([point, value, atS, fault]) => ({
    point,
    value,
    atS,
    ...(fault === undefined ? {} : { fault: fault as 'missing' }),
  }));
const oddOrder: fc.Arbitrary<Order> = fc
  .tuple(
    fc.constantFrom(...orderKinds, 'no-such-order' as 'note'),
    fc.constantFrom(...targets),
    fc.constantFrom('still', 'remote'),
    odd,
  )
  .map(([kind, target, from, forS]) => ({ id: 'o', kind, by: 'x', from: from as 'still', target, forS }));

describe('whatever is read and said', () => {
  it('a scan never throws, and keeps its promises', { timeout: 60_000 }, () => {
    const inputs = fc.array(
      fc.tuple(odd, fc.array(oddReading, { maxLength: 6 }), fc.array(oddOrder, { maxLength: 3 })),
      { maxLength: 30 },
    );
    fc.assert(
      fc.property(fc.constantFrom(...stills), fc.boolean(), inputs, (still, begun, scans) => {
        const plant = storyPlant(still);
        let run: Run = begun ? new Story(still, 'hearts').run : freshRun(0);
        for (const [now, readings, orders] of scans) {
          const before = run;
          const result = scan(plant, run, { now, readings, orders });
          run = result.run;
          expect(Number.isFinite(run.now)).toBe(true);
          expect(run.now).toBeGreaterThanOrEqual(before.now);
          expect(brokenRules({ plant, before, ...result })).toEqual([]);
        }
        expect(rebuilt(plant, run).state).not.toBe('running');
      }),
      { numRuns: 400, seed: 23 },
    );
  });

  it('the same run and input give the same result, whatever was scanned between', () => {
    const story = new Story('pot', 'hearts');
    const { plant, run } = story;
    const input = {
      now: story.now + 1,
      readings: [{ point: 'vapour-temp', value: 84.1, atS: story.now + 1 }],
      orders: [],
    };
    const first = scan(plant, run, input);
    for (const pressure of [950, 1010]) {
      scan(plant, run, { ...input, readings: [{ point: 'air-pressure', value: pressure, atS: story.now + 1 }] });
    }
    expect(scan(plant, run, input)).toEqual(first);
  });
});
