import { describe, expect, it } from 'vitest';
import { wallClockOf } from '../../daemon/report/clock';
import { tellCourse } from '../../daemon/report/course';
import { bandPath, curvePath, grouped, stepPath } from '../../daemon/report/curves';
import { escapeHtml, html, Markup, oneLine, plainText } from '../../daemon/report/html';
import { letterOf } from '../../daemon/report/letters';
import { sayCondition, sayGuard } from '../../daemon/report/said';
import {
  roundStep,
  scaleOf,
  spreadApart,
  staggered,
  ticksOf,
  timeTicks,
  verticalScale,
} from '../../daemon/report/scale';
import { showInto, showNumber } from '../../daemon/report/show';
import { tellDecisions } from '../../daemon/report/telling';
import { wordingOf } from '../../daemon/report/words';
import { reportWordsEn } from '../../daemon/report/words-en';
import type { Kept } from '../../daemon/store';
import { type Event, freshRun, shiftBoilerTemp, shiftVapourTemp } from '../../lib';
import { english } from '../../lib/words';
import { plantOf, potDocument } from '../tools/plants';
import { hostile } from './report-record';

const wording = wordingOf(english);

describe('foreign text in the report', () => {
  it('is escaped wherever it is put in, in an attribute too', () => {
    const text = html`<p title="${hostile.name}">${hostile.name}</p>`.text;
    expect(text).not.toMatch(/<(script|img)/);
    expect(text.match(/"/g)).toHaveLength(2);
    expect(html`${new Markup('<b>ours</b>')}${['<', 1, null, false]}`.text).toBe('<b>ours</b>&lt;1');
  });

  it('loses what turns the writing around, rings the bell or breaks the encoding', () => {
    expect(plainText('a\u202eb\u0007c\ud800d\u001b[31me\u2066')).toBe('a\ufffdb\ufffdc\ufffdd\ufffd[31me\ufffd');
    expect(plainText('pear \u{1f350}\n\tQuitten\u00adbrand')).toBe('pear \u{1f350}\n\tQuitten\u00adbrand');
    expect(oneLine('one\r\n  two\u0000')).toBe('one two\ufffd');
    expect(escapeHtml('<&>"\'')).toBe('&lt;&amp;&gt;&quot;&#39;');
  });
});

describe('figures', () => {
  it('carry a true minus, the decimal sign of the language, and no minus before nothing', () => {
    expect(showNumber(-1.25, 1, english)).toBe('\u22121.3');
    expect(showNumber(-0.001, 2, english)).toBe('0.00');
    const comma = { ...english, language: { ...english.language, decimal: ',' as const } };
    expect(showNumber(8.1, 2, comma)).toBe('8,10');
  });

  it('show time into the run, before its start too', () => {
    expect([0, 59.6, 3661, -15, 360_000].map(showInto)).toEqual([
      '0:00:00',
      '0:01:00',
      '1:01:01',
      '\u22120:00:15',
      '100:00:00',
    ]);
  });

  it('names changes of phase by letter beyond the alphabet', () => {
    expect([0, 25, 26, 51, 52, 701, 702].map(letterOf)).toEqual(['A', 'Z', 'AA', 'AZ', 'BA', 'ZZ', 'AAA']);
  });
});

describe('scales', () => {
  it('step by 1, 2 or 5 and never leave more ticks than were asked for', () => {
    for (const span of [0.003, 0.7, 1, 4.2, 9.99, 10, 37, 1000, 12_345]) {
      const step = roundStep(span, 6);
      expect(span / step).toBeLessThanOrEqual(6);
      expect([1, 2, 5].some((round) => Math.abs(Math.log10(step / round) % 1) < 1e-9)).toBe(true);
    }
    expect(ticksOf(0.3, 1.1, 0.2)).toEqual([0.4, 0.6, 0.8, 1]);
  });

  it('hold every value, even when all are the same or there is none', () => {
    for (const values of [[960, 960, 960], [], [-3, 7.5], [81.2]]) {
      const y = verticalScale(values, 10, 110, 4, 4);
      for (const value of values) {
        expect(y.at(value)).toBeGreaterThanOrEqual(10);
        expect(y.at(value)).toBeLessThanOrEqual(110);
      }
      expect(y.most).toBeGreaterThan(y.least);
      expect(y.ticks.length).toBeGreaterThan(1);
    }
  });

  it('put time on whole minutes and hours', () => {
    expect(timeTicks(0, 4 * 3600, 10)).toEqual([0, 1800, 3600, 5400, 7200, 9000, 10_800, 12_600, 14_400]);
    expect(timeTicks(0, 30 * 86_400, 10).length).toBeLessThanOrEqual(11);
  });

  it('part marks into rows and labels along a side so that none stands over another', () => {
    expect(staggered([0, 5, 6, 40], 10, 2)).toEqual([0, 1, null, 0]);
    const places = [...spreadApart([50, 51, 52, 53], 12, 0, 60)].sort((a, b) => a - b);
    for (const [index, place] of places.entries()) {
      expect(place).toBeLessThanOrEqual(60);
      if (index > 0) expect(place - places[index - 1]!).toBeGreaterThanOrEqual(12);
    }
  });
});

describe('curves', () => {
  const x = scaleOf(0, 1000, 0, 100, []);
  const y = scaleOf(0, 10, 100, 0, []);

  it('break where nothing was read for minutes', () => {
    const stretches = [0, 60, 600, 660].map((fromS) => ({ fromS, toS: fromS + 60, value: 5 }));
    expect(curvePath(stretches, x, y)).toBe('M3 50L9 50M63 50L69 50');
    expect(curvePath([{ fromS: 0, toS: 60, value: null }], x, y)).toBe('');
    const bands = stretches.map(({ fromS, toS }) => ({ fromS, toS, min: 4, max: 6 }));
    expect(bandPath(bands, x, y).match(/M/g)).toHaveLength(2);
  });

  it('hold a commanded value until the next', () => {
    expect(
      stepPath(
        [
          { atS: 0, value: 10 },
          { atS: 500, value: 0 },
        ],
        x,
        y,
      ),
    ).toBe('M0 0H50V100H100');
  });

  it('take neighbours together where there are more than the paper has columns', () => {
    const sums = grouped([1, 2, 3, 4, 5, 6, 7], 3, (group) => group.reduce((sum, one) => sum + one, 0));
    expect(sums).toEqual([6, 15, 7]);
  });
});

describe('the course of a run', () => {
  it('is corrected by the calibration and moved to the reference pressure, vapour and boiler each on its own line', () => {
    const still = {
      ...potDocument,
      points: {
        ...potDocument.points,
        vapour: { kind: 'vapour-temp' as const, calibration: { gain: 1.01, offset: -0.5 } },
      },
    };
    const plant = plantOf(undefined, still);
    const point = (name: string, mean: number) => ({
      point: name,
      count: 60,
      min: mean - 1,
      mean,
      max: mean + 1,
      last: mean,
    });
    const minutes = [
      { fromS: 0, toS: 60, points: [point('vapour', 85), point('boiler', 92)] },
      { fromS: 60, toS: 120, points: [point('vapour', 85), point('boiler', 92), point('air', 900)] },
      { fromS: 120, toS: 180, points: [point('vapour', 85)] },
    ];
    const [unknown, known, later] = [...tellCourse(plant, minutes, 1013.25)];
    const correctedC = 1.01 * 85 - 0.5;
    expect(unknown).toMatchObject({ vapourC: { mean: correctedC }, vapourAtReferenceC: null, airPressureHPa: null });
    expect(known?.vapourAtReferenceC).toBeCloseTo(shiftVapourTemp(correctedC, 900, 1013.25), 9);
    expect(known?.boilerAtReferenceC).toBeCloseTo(shiftBoilerTemp(92, 900, 1013.25), 9);
    // Between two readings of the barometer the last one holds, but is not drawn as read.
    expect(later).toMatchObject({ vapourAtReferenceC: known?.vapourAtReferenceC, airPressureHPa: null, boilerC: null });
  });
});

describe('decisions sorted', () => {
  const event = (one: Omit<Extract<Event, { kind: 'alarm' }>, 'kind' | 'alarm' | 'priority'>): Kept => ({
    seq: 0,
    scan: 0,
    kind: 'decision',
    decision: {
      kind: 'event',
      atS: one.atS,
      event: { kind: 'alarm', alarm: 'coolant', priority: 'critical', ...one },
    },
  });
  const reason = { code: 'x', numbers: {} };

  it('tell an alarm as one story each time it is raised', () => {
    const acknowledged = { code: 'alarm.acknowledge', numbers: { by: 'Ada' } };
    const { alarms, decided } = tellDecisions([
      event({ atS: 5, transition: 'shelved', reason }),
      event({ atS: 10, transition: 'raised', reason }),
      event({ atS: 20, transition: 'acknowledged', reason: acknowledged }),
      event({ atS: 30, transition: 'returned', reason }),
      event({ atS: 40, transition: 'raised', reason, announced: false }),
      event({ atS: 50, transition: 'cleared', reason }),
    ]);
    expect(alarms).toMatchObject([
      { raisedAtS: 10, acknowledgedAtS: 20, acknowledgedBy: 'Ada', returnedAtS: 30, clearedAtS: null, announced: true },
      { raisedAtS: 40, acknowledgedAtS: null, returnedAtS: null, clearedAtS: 50, announced: false },
    ]);
    expect(decided).toHaveLength(1);
  });

  it('have wall times that go on after a restart from the restart', () => {
    const kept: Kept[] = [
      {
        seq: 0,
        scan: 0,
        kind: 'decision',
        decision: { kind: 'event', atS: 100, event: { kind: 'fault', atS: 100, reason } },
      },
      { seq: 1, scan: 9, kind: 'mark', mark: { mark: 'continued', atMs: 10_000_000 } },
      {
        seq: 2,
        scan: 9,
        kind: 'decision',
        decision: { kind: 'event', atS: 400, event: { kind: 'fault', atS: 400, reason } },
      },
    ];
    const wallMs = wallClockOf({ startedAtMs: 1_000_000, about: {}, initial: freshRun(50) }, kept);
    expect([50, 100, 399, 400, 460].map(wallMs)).toEqual([1_000_000, 1_050_000, 1_349_000, 10_000_000, 10_060_000]);
    const fast = wallClockOf({ startedAtMs: 0, about: { speed: 90 }, initial: freshRun(0) }, []);
    expect(fast(900)).toBe(10_000);
  });
});

describe('a recipe in words', () => {
  it('says any-of and all-of with their parts, and what keeps a phase from ending', () => {
    const condition = {
      anyOf: [
        { test: 'vapour-temp', atLeastC: 92, deadbandK: 0.2 },
        {
          allOf: [{ test: 'strength', atMostVolPercent: 60, by: 'parrot', deadbandVolPercent: 0.5 }, { test: 'order' }],
        },
      ],
    } as const;
    expect(sayCondition(condition, 1013.25, wording)).toBe(
      'vapour at or above 92.0 °C (at 1013 hPa) or (parrot at or below 60.0 % vol and the operator says so)',
    );
    const step = { ...plantOf().plan[1]!.step, notBefore: { volumeL: 0.5, timeS: 600 } };
    expect(sayGuard(step, wording)).toBe('not before 0.50 L collected and 10 min in the phase');
  });

  it('has a sentence for every test a recipe can make', () => {
    const tests = [
      { test: 'vapour-temp', atLeastC: 92, deadbandK: 0.2 },
      { test: 'vapour-rise', byK: 0.3, deadbandK: 0.05 },
      { test: 'strength', atMostVolPercent: 60, by: 'vapour-temp', deadbandVolPercent: 0.5 },
      { test: 'strength', atMostVolPercent: 60, by: 'parrot', deadbandVolPercent: 0.5 },
      { test: 'volume', atLeastL: 0.2, since: 'phase' },
      { test: 'volume', atLeastL: 0.2, since: 'run' },
      { test: 'alcohol-share', atLeastPercent: 5 },
      { test: 'boiler-temp', atLeastC: 99, deadbandK: 0.2 },
      { test: 'settled', withinK: 0.05, overS: 600, atLeastS: 900 },
      { test: 'time', atLeastS: 60 },
      { test: 'order' },
    ] as const;
    for (const test of tests) expect(sayCondition(test, 1013.25, wording)).not.toMatch(/recipe\.|\?/);
  });
});

describe('the words of the report', () => {
  it('are all there and none is empty', () => {
    for (const [name, word] of Object.entries(reportWordsEn)) expect(word.trim(), name).not.toBe('');
  });

  it('fall back to English in a language that has none of its own', () => {
    const other = wordingOf({
      ...english,
      language: { ...english.language, code: 'xx', names: { hearts: 'Mittellauf' } },
    });
    expect(other.words.fractions).toBe('Fractions');
    expect(other.saying.language.names.hearts).toBe('Mittellauf');
  });
});
