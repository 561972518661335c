import { describe, expect, it } from 'vitest';
import { checkRecipe, checkStill, parseLog, type Reading, type Run, replayLog, scan } from '../../lib';
import { wantDrives } from '../../lib/engine/control';
import { equaliseAgainS } from '../../lib/engine/phase';
import { good, potDocument, potRecipe } from '../tools/plants';
import { Story } from '../tools/story';

/* What the fault campaign found, each as small as it can be told. */

/** Lets one point read these values one after another, the rest of the story as it is. */
function readEach(story: Story, point: string, values: readonly number[]): void {
  for (const value of values) {
    story.override(point, { kind: 'value', value });
    story.step();
  }
}

const trips = (story: Story): string[] => story.run.trips.map(({ id }) => id);

describe('wild readings', () => {
  it('one of each colour, up and back down, are no jump of the probe', () => {
    const story = new Story('pot', 'hearts');
    const usual = story.run.image['vapour-temp']?.value ?? 84;
    const raised = story.events.length;
    for (let round = 0; round < 8; round += 1) {
      story.override('vapour-temp', { kind: 'silent' });
      story.pass(1);
      // Two seconds after the last, 12.5 K up is just believable; one second after that, back down is not.
      readEach(story, 'vapour-temp', [usual + 12.5, usual, usual, usual, usual]);
    }
    const alarms = story.events.slice(raised).filter((event) => event.kind === 'alarm');
    expect(alarms.map((event) => event.kind === 'alarm' && event.alarm)).toEqual([]);
  });

  it('are not taken for a boiler that climbs or a vapour that fails, however often they come', () => {
    const story = new Story('pot', 'hearts');
    const vapourC = story.run.image['vapour-temp']?.value ?? 84;
    const boilerC = story.run.image['boiler-temp']?.value ?? 90;
    for (let second = 0; second < 600; second += 1) {
      const isWild = second % 10 === 3 || second % 10 === 4;
      story.override('vapour-temp', { kind: 'value', value: isWild && second % 20 < 10 ? vapourC - 7 : vapourC });
      story.override('boiler-temp', { kind: 'value', value: isWild && second % 20 >= 10 ? boilerC + 9 : boilerC });
      story.step();
    }
    expect(trips(story)).toEqual([]);
  });
});

describe('wild readings of the skin and of the gas detector', () => {
  it('two alike, or one each way, take no heat off', () => {
    const story = new Story('pot', 'hearts');
    const skinC = story.run.image['element-temp']?.value ?? 95;
    readEach(story, 'element-temp', [skinC + 35, skinC + 35, skinC, skinC, skinC - 35, skinC, skinC + 35, skinC]);
    expect(trips(story)).toEqual([]);
  });

  it('a skin that climbs by 5 K/s is found long before its limit', () => {
    const story = new Story('pot', 'hearts');
    const skinC = story.run.image['element-temp']?.value ?? 95;
    const limitC = story.plant.still.ratings.elementTempMaxC;
    let tempC = skinC;
    for (; tempC < limitC && trips(story).length === 0; tempC += 5) readEach(story, 'element-temp', [tempC]);
    expect(tempC).toBeLessThan(limitC - 10);
  });

  it('two of the gas detector send nobody out, three do', () => {
    const story = new Story('pot', 'hearts');
    const show = (share: number, forS: number): void => {
      story.override('vapour-gas', { kind: 'value', value: share });
      story.pass(forS);
    };
    show(0.3, 9);
    show(0, 20);
    expect(trips(story)).toEqual([]);
    show(0.3, 20);
    expect(trips(story)).toEqual(['vapour-leak:vapour-gas']);
  });
});

describe('readings in a burst', () => {
  it('do not make a skin look as if it climbed', () => {
    const { plant, run } = new Story('pot', 'hearts');
    const skinC = run.image['element-temp']?.value ?? 95;
    let next: Run = run;
    for (let burst = 1; burst <= 20; burst += 1) {
      const atS = run.now + burst;
      // A quarter of a kelvin of noise, four milliseconds apart: 60 K/s by the division.
      const readings: Reading[] = [skinC, skinC + 0.25].map((value, index) => ({
        point: 'element-temp',
        value,
        atS: atS - 0.004 + 0.004 * index,
      }));
      for (const reading of readings)
        next = scan(plant, next, { now: reading.atS, readings: [reading], orders: [] }).run;
    }
    expect(next.trips).toEqual([]);
    expect(Math.abs(next.watch?.skins['element-temp']?.perS ?? 9)).toBeLessThan(0.5);
  });
});

describe('the vapour front', () => {
  it('that passes a cold head between two readings is no jump of the probe', () => {
    const story = new Story('pot', 'heat-up');
    const roomC = story.run.image['vapour-temp']?.value ?? 18;
    readEach(story, 'vapour-temp', [roomC, roomC + 0.5, roomC + 2, 61, 79, 80, 80.5, 80.7, 80.8]);
    expect(story.run.alarms['probe-jumped:vapour-temp']?.active ?? false).toBe(false);
  });
});

describe('a record of an older program', () => {
  it('that did not yet watch the skins is scanned like any other', () => {
    const { plant, run } = new Story('pot', 'hearts');
    const { skins: _, doubted: __, ...older } = run.watch!;
    const before = { ...run, watch: older } as Run;
    const { run: after } = scan(plant, before, { now: run.now + 1, readings: [], orders: [] });
    expect(after.watch?.skins['element-temp']?.perS).toBe(0);
    expect(after.trips).toEqual(run.trips);
  });
});

describe('a column that is resumed', () => {
  const story = new Story('column', 'hearts');
  const reheating: Run = {
    ...story.run,
    state: 'running',
    // Held in tails, where the head was at 90 °C: at total reflux it never comes there.
    resume: { targetVapourC: 90, reheating: true, sinceS: story.run.now, sinceL: 0, backSinceS: null },
  };
  const takeOff = (run: Run): unknown => wantDrives(story.plant, run)['take-off']?.value;

  it('runs at total reflux until it has equalised, then takes off again', () => {
    const back = { ...reheating.resume!, backSinceS: reheating.now };
    expect(takeOff(reheating)).toBe(0);
    expect(takeOff({ ...reheating, resume: back, now: reheating.now + equaliseAgainS - 1 })).toBe(0);
    expect(takeOff({ ...reheating, resume: back, now: reheating.now + equaliseAgainS })).not.toBe(0);
  });

  it('counts as back once vapour is at the head, not at the temperature it was held at', () => {
    const { run } = scan(story.plant, reheating, { now: reheating.now + 1, readings: [], orders: [] });
    expect(run.resume?.backSinceS).toBe(reheating.now + 1);
  });
});

describe('a power meter that speaks now and then', () => {
  it('is not asked about a command it has not seen; once it has, a welded relay is found', () => {
    const story = new Story('pot', 'hearts');
    story.override('heat-power', { kind: 'silent' });
    story.give('hold');
    story.pass(9);
    expect(story.run.image['heat-power']?.value).toBeGreaterThan(1000);
    expect(trips(story)).toEqual([]);
    story.override('heat-power', { kind: 'value', value: 4000 });
    story.pass(2);
    expect(trips(story)).toEqual(['heat-not-stopping:heat']);
  });

  it('is not asked whether heat comes before it can know', () => {
    const story = new Story('pot', 'held');
    story.override('heat-power', { kind: 'value', value: 0 });
    story.pass(2);
    story.override('heat-power', { kind: 'silent' });
    story.give('acknowledge', { target: 'all' });
    story.give('resume');
    story.pass(25);
    expect(story.run.state).toBe('running');
    expect(trips(story)).toEqual([]);
  });
});

describe('a log that is played again', () => {
  it('whose heat obeyed somebody else is no relay that welded: a gap holds the replay, and it goes on after it', () => {
    const rows: string[] = [];
    for (let timeS = 0; timeS < 3000; timeS += 1) {
      const vapourC = timeS < 300 ? 20 + timeS * 0.2 : 80 + (timeS - 300) * 0.005;
      const isGap = timeS >= 1500 && timeS < 1700;
      rows.push(`${timeS},${isGap ? '' : vapourC.toFixed(2)},${(88 + timeS * 0.002).toFixed(2)},955,4800`);
    }
    const text = ['timeS,vapourTempC,boilerTempC,airPressureHPa,heatPowerW', ...rows].join('\n');
    const points = { ...potDocument.points, power: { kind: 'heat-power', drive: 'element' } } as const;
    const { run, events } = good(
      replayLog({
        recipe: good(checkRecipe(potRecipe)),
        variant: null,
        still: good(checkStill({ ...potDocument, points })),
        charge: null,
        log: good(parseLog(text)),
        pressureHPa: null,
        altitudeM: null,
      }),
    );
    expect(events.some((event) => event.kind === 'state' && event.to === 'held')).toBe(true);
    expect(run.trips).toEqual([]);
    expect(run.state).toBe('running');
  });
});
