import { describe, expect, it } from 'vitest';
import {
  type ComparedRun,
  compareFractions,
  compareRuns,
  departuresOf,
  envelopeOf,
  grid,
  judgeProfile,
  profileOf,
  sayComparison,
} from '../../lib/compare';
import { courseRun } from './compare-runs';

const wordsOf = (reference: ComparedRun, run: ComparedRun) =>
  compareRuns(reference, run).findings.map((one) => sayComparison(one));

describe('a run on the axis of alcohol come over', () => {
  it('stands on the same shares however fast it ran', () => {
    const slow = courseRun();
    const fast = { ...slow, points: slow.points.map((point) => ({ ...point, timeS: point.timeS / 3 })) };
    expect(profileOf(fast)).toEqual(profileOf(slow));
  });

  it('is drawn on straight lines between its points, and not over gaps', () => {
    const run = courseRun();
    const two = [
      { sharePercent: 10, vapourAtReferenceC: 83, boilerAtReferenceC: null, strengthAbv: 0.8, rateLPerH: 3, timeS: 0 },
      { sharePercent: 14, vapourAtReferenceC: 84, boilerAtReferenceC: null, strengthAbv: 0.79, rateLPerH: 3, timeS: 1 },
      { sharePercent: 13, vapourAtReferenceC: 99, boilerAtReferenceC: null, strengthAbv: 0.79, rateLPerH: 3, timeS: 2 },
      { sharePercent: 40, vapourAtReferenceC: 86, boilerAtReferenceC: null, strengthAbv: 0.75, rateLPerH: 3, timeS: 3 },
    ];
    const profile = profileOf({ ...run, points: two });
    expect(profile.vapour[grid.indexOf(12)]).toBeCloseTo(83.5, 12);
    expect(profile.vapour[grid.indexOf(20)]).toBeNull();
    expect(profile.vapour[grid.indexOf(5)]).toBeNull();
    expect(profile.boiler.every((value) => value === null)).toBe(true);
    expect(profile.rate[grid.indexOf(12)]).toBeCloseTo(6, 12);
  });
});

describe('the envelope', () => {
  it('holds its own run, and one alike', () => {
    expect(departuresOf(envelopeOf([courseRun()]), courseRun())).toEqual([]);
    expect(departuresOf(envelopeOf([courseRun()]), courseRun({ vapourK: 0.3 }))).toEqual([]);
    expect(wordsOf(courseRun(), courseRun())).toEqual(['the run lies within the envelope and its fractions agree']);
  });

  it('is left where a run is too hot, and it says where, how far and by what', () => {
    const hump = courseRun();
    const points = hump.points.map((point) => ({
      ...point,
      vapourAtReferenceC: point.vapourAtReferenceC! + (point.sharePercent > 20 && point.sharePercent < 40 ? 1.2 : 0),
    }));
    const found = departuresOf(envelopeOf([courseRun()]), { ...hump, points });
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ quantity: 'vapour', side: 'above', fromSharePercent: 21, toSharePercent: 39 });
    expect(found[0]!.worst).toBeCloseTo(1.2, 1);
  });

  it('overlooks what is shorter than 2 % of the alcohol', () => {
    const blip = courseRun();
    const points = blip.points.map((point) => ({
      ...point,
      vapourAtReferenceC: point.vapourAtReferenceC! + (Math.abs(point.sharePercent - 30) < 0.5 ? 2 : 0),
    }));
    expect(departuresOf(envelopeOf([courseRun()]), { ...blip, points })).toEqual([]);
  });

  it('grows as wide as good runs lie apart', () => {
    const one = envelopeOf([courseRun()]);
    const many = envelopeOf([
      courseRun(),
      courseRun({ vapourK: 0.4 }),
      courseRun({ vapourK: -0.4 }),
      courseRun({ vapourK: 0.2 }),
    ]);
    const width = (envelope: typeof one) => envelope.bands.vapour[29]!.high - envelope.bands.vapour[29]!.low;
    expect(width(one)).toBeCloseTo(0.8, 1);
    // Standard deviation of 0, 0.4, -0.4, 0.2 is 0.342: three either side.
    expect(width(many)).toBeCloseTo(6 * 0.3416, 1);
    expect(many.runs).toBe(4);
  });

  it('judges a live moment', () => {
    const envelope = envelopeOf([courseRun()]);
    const point = courseRun().points[99]!;
    expect(judgeProfile(envelope, point, 50)).toEqual([]);
    const off = judgeProfile(
      envelope,
      { ...point, vapourAtReferenceC: point.vapourAtReferenceC! + 1, strengthAbv: 0.6, rateLPerH: 4 },
      50,
    );
    expect(off.map((one) => sayComparison(one))).toEqual([
      expect.stringMatching(/^vapour 1\.0\d K above profile at 40\.0 % come over$/),
      expect.stringMatching(/^distillate \d+\.\d % vol weaker than profile/),
      expect.stringMatching(/^take-off 66\.7 % faster than profile/),
    ]);
    expect(judgeProfile(envelope, { ...point, sharePercent: 150 }, 50)).toEqual([]);
    expect(
      judgeProfile(
        envelope,
        { ...point, vapourAtReferenceC: null, boilerAtReferenceC: null, strengthAbv: null, rateLPerH: null },
        50,
      ),
    ).toEqual([]);
  });
});

describe('fractions of two runs', () => {
  it('are compared per litre of alcohol charged, so that a still ten times the size compares', () => {
    const small = courseRun();
    const large: ComparedRun = {
      ...small,
      charge: { volumeL: 500, strengthAbv: 0.3 },
      fractions: small.fractions.map((one) => ({ ...one, volumeL: one.volumeL * 10, alcoholL: one.alcoholL * 10 })),
    };
    for (const row of compareFractions(small, large)) {
      expect(row.volumeByPercent).toBeCloseTo(0, 9);
      expect(row.strengthByVolPercent).toBeCloseTo(0, 9);
    }
  });

  it('tell more and less volume, strength and what is missing', () => {
    const reference = courseRun();
    const run: ComparedRun = {
      ...reference,
      fractions: [
        { fraction: 'foreshots', volumeL: 0.28, strengthAbv: 0.81, alcoholL: 0.23 },
        { fraction: 'hearts', volumeL: 11.4 * 1.05, strengthAbv: 0.7575, alcoholL: 9.1 },
        { fraction: 'tails', volumeL: 3.2 * 0.9, strengthAbv: 0.67, alcoholL: 1.9 },
      ],
    };
    expect(wordsOf(reference, run)).toEqual([
      'heads: the reference run had them, this one has not',
      'hearts: 5.0 % more volume per litre of alcohol charged',
      'hearts: 0.6 % vol weaker',
      'tails: 10.0 % less volume per litre of alcohol charged',
      'tails: 1.0 % vol stronger',
    ]);
    const [foreshots, heads, hearts] = compareFractions(reference, run);
    expect(foreshots!.volumeByPercent).toBe(0);
    expect(heads!.run).toBeNull();
    expect(hearts!.shareOfChargePercent!.run).toBeCloseTo((100 * 9.1) / 15, 9);
  });

  it('put two cans of one fraction together', () => {
    const reference = courseRun();
    const halves = reference.fractions.flatMap((one) =>
      [one, one].map((half) => ({ ...half, volumeL: half.volumeL / 2, alcoholL: half.alcoholL / 2 })),
    );
    for (const row of compareFractions(reference, { ...reference, fractions: halves })) {
      expect(row.volumeByPercent).toBeCloseTo(0, 9);
      expect(Math.abs(row.strengthByVolPercent!)).toBeLessThan(1.5);
    }
  });
});
