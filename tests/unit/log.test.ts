import { describe, expect, it } from 'vitest';
import { checkRecipe, dewPoint, type Event, parseLog, phaseChanges, replayLog, vapourAtDewTemp } from '../../lib';
import { good, potRecipe } from '../tools/plants';

const recipe = good(checkRecipe(potRecipe));

function problemsOf(text: string): string[] {
  const parsed = parseLog(text);
  const found = parsed.kind === 'bad' ? parsed.problems : parsed.warnings;
  return found.map((one) => `${one.path}: ${one.message}`);
}

/** A log that heats up, rests below the heads cut and climbs through all cuts at 955 hPa. */
function rowsOf(seconds = 9000, everyS = 1): string[] {
  const rows: string[] = [];
  for (let timeS = 0; timeS < seconds; timeS += everyS) {
    const front = 22 + Math.max(0, timeS - 900) * 0.7;
    const tempC = timeS < 980 ? Math.min(78, front) : Math.min(98, 78 + (timeS - 980) * 0.0025);
    rows.push(`${timeS},${tempC.toFixed(3)},955`);
  }
  return rows;
}
const header = 'timeS,vapourTempC,airPressureHPa';

function replay(text: string, pressureHPa: number | null = null, altitudeM: number | null = null) {
  return replayLog({
    recipe,
    variant: null,
    still: null,
    charge: null,
    log: good(parseLog(text)),
    pressureHPa,
    altitudeM,
  });
}

function timesOf(events: readonly Event[]): Record<string, number> {
  return Object.fromEntries(phaseChanges(events).map((event) => [event.to, event.atS]));
}

describe('log', () => {
  it('is read with decimal points, or with commas between semicolons', () => {
    const points = good(parseLog('timeS,vapourTempC\n0,78.25\n1,\n'));
    expect(points.rows).toEqual([
      { line: 2, timeS: 0, values: [78.25] },
      { line: 3, timeS: 1, values: [null] },
    ]);
    const commas = good(parseLog('timeS;vapourTempC;airPressureHPa\r\n0;78,25;955,5\r\n'));
    expect(commas.rows[0]?.values).toEqual([78.25, 955.5]);
  });

  it('lists what is wrong with its header and its cells, each with the line', () => {
    expect(problemsOf('')).toEqual([': is empty']);
    expect(problemsOf('time,vapourTempC\n0,1')).toEqual(['line 1: has no column timeS', 'line 1: is no point']);
    expect(problemsOf('timeS,vapourTempC,vapourTempC\n0,1,1')).toEqual(['line 1: stands twice in the header']);
    expect(problemsOf('timeS,vapourTempC\n0,hot\n1\n2,80,3')).toEqual([
      'line 2, vapourTempC: is no number',
      'line 3: has 1 cells, the header 2',
      'line 4: has 3 cells, the header 2',
    ]);
    expect(problemsOf('timeS,vapourTempC\n')).toEqual([': has no rows']);
    expect(problemsOf('timeS,vapourTempC\n0,NaN\n1,Infinity\n')).toHaveLength(2);
  });

  it('passes over rows that go back in time, reads both of a repeated time, and says where it has gaps', () => {
    const text = 'timeS,vapourTempC\n0,20\n1,21\n1,21.5\n0.5,99\n2,22\n500,23\n';
    expect(problemsOf(text)).toEqual([
      'line 4, timeS: stands already in line 3; both are read',
      'line 5, timeS: is before 1 of line 4; row passed over',
      'line 7, timeS: follows 498 s after line 6',
    ]);
    expect(good(parseLog(text)).rows.map((row) => row.timeS)).toEqual([0, 1, 1, 2, 500]);
  });
});

describe('replay of a log', () => {
  it('makes each phase change with its reading, thresholds and pressure', () => {
    const { events } = good(replay([header, ...rowsOf()].join('\n')));
    const changes = phaseChanges(events);
    expect(changes.map((change) => change.to)).toEqual(['heat-up', 'heads', 'hearts', 'tails', 'finish', 'cool-down']);
    const hearts = changes[2]!;
    expect(hearts.asked).toBe(false);
    expect(hearts.figures.thresholdAtReferenceC).toBe(82);
    expect(hearts.figures.airPressureHPa).toBe(955);
    // By the long road: the vapour that condenses at 82 °C and 1013.25 hPa, condensed at 955 hPa.
    const here = dewPoint(vapourAtDewTemp(82, 1013.25), 955).tempC;
    expect(hearts.figures.thresholdHereC).toBeCloseTo(here, 6);
    // Passed at 0.15 K/min, held for 30 s.
    expect(hearts.atS - 30 - (980 + (hearts.figures.thresholdHereC! - 78) / 0.0025)).toBeLessThan(5);
    const finish = changes.at(-1)!;
    expect(finish.figures.thresholdHereC).toBeNull();
  });

  it('gives the same for the same log, whatever the spacing of its rows within reason', () => {
    const fine = timesOf(good(replay([header, ...rowsOf()].join('\n'))).events);
    expect(timesOf(good(replay([header, ...rowsOf()].join('\n'))).events)).toEqual(fine);
    const coarse = timesOf(good(replay([header, ...rowsOf(9000, 10)].join('\n'))).events);
    for (const phase of ['hearts', 'tails', 'finish']) expect(Math.abs(coarse[phase]! - fine[phase]!)).toBeLessThan(15);
  });

  it('is refused without any air pressure, and takes a pressure or an altitude instead', () => {
    const text = ['timeS,vapourTempC', ...rowsOf().map((row) => row.split(',').slice(0, 2).join(','))].join('\n');
    const refused = replay(text);
    expect(refused.kind === 'bad' && refused.problems[0]?.remedy).toMatch(/--pressure .* or --altitude/);
    const by = timesOf(good(replay(text, 955)).events);
    const at = timesOf(good(replay(text, null, 497)).events);
    expect(Math.abs(by.hearts! - at.hearts!)).toBeLessThan(60);
  });

  it('accepts what is asked, and marks it', () => {
    const text = ['timeS,vapourTempC', ...Array.from({ length: 900 }, (_, timeS) => `${timeS},85.5`)].join('\n');
    const changes = phaseChanges(good(replay(text, 1013.25)).events);
    expect(changes.map((change) => [change.to, change.asked])).toEqual([
      ['heat-up', false],
      ['heads', true],
      ['hearts', true],
    ]);
  });

  it('goes on after a gap, with the cuts it could not make suspended meanwhile', () => {
    const rows = rowsOf().filter((row) => {
      const timeS = Number(row.split(',')[0]);
      return timeS < 1200 || timeS > 1600;
    });
    const { events } = good(replay([header, ...rows].join('\n')));
    expect(events.some((event) => event.kind === 'cut-suspended')).toBe(true);
    expect(events.some((event) => event.kind === 'state' && event.to === 'held')).toBe(true);
    expect(phaseChanges(events).map((change) => change.to)).toContain('finish');
  });
});
