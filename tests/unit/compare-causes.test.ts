import { describe, expect, it } from 'vitest';
import { type CauseOfDifference, type ComparedRun, compareRuns } from '../../lib/compare';
import { courseRun, type SimulatedRun, simulatedRun } from './compare-runs';

const causesOf = (reference: ComparedRun, run: ComparedRun, isPot = true) =>
  compareRuns(reference, run, { isPot }).causes;

describe('why a run differs, by the pot course', () => {
  const reference = courseRun();

  it.each<[CauseOfDifference, number, Parameters<typeof courseRun>[0]]>([
    ['vapour-probe', 0.5, { vapourK: 0.5 }],
    ['vapour-probe', -0.5, { vapourK: -0.5 }],
    ['boiler-probe', -0.6, { boilerK: -0.6 }],
    ['charge-misjudged', 1, { chargeAbv: 0.31, saidAbv: 0.3 }],
    ['charge-misjudged', -1, { chargeAbv: 0.29, saidAbv: 0.3 }],
    ['reflux', 6, { refluxShare: 0.26 }],
  ])('finds %s by %d', (cause, amount, made) => {
    const [first] = causesOf(reference, courseRun(made));
    expect(first?.cause).toBe(cause);
    expect(first!.amount / amount).toSatisfy((ratio: number) => ratio > 0.8 && ratio < 1.2);
    expect(first!.explains).toBeGreaterThan(0.95);
  });

  it('finds light heads at the front only', () => {
    const run = courseRun();
    const points = run.points.map((point) => ({
      ...point,
      vapourAtReferenceC: point.vapourAtReferenceC! - 2.5 * Math.exp(-point.sharePercent / 4),
    }));
    const [first] = causesOf(reference, { ...run, points });
    expect(first).toMatchObject({ cause: 'light-heads' });
    expect(first!.amount).toBeCloseTo(2.5, 1);
  });

  it('has nothing to explain where the runs are alike', () => {
    expect(causesOf(reference, courseRun({ vapourK: 0.05, scatterK: 0.06 }))).toEqual([]);
  });

  it('takes a charge that is known to be stronger away first', () => {
    const known = causesOf(reference, courseRun({ chargeAbv: 0.31 }));
    expect(known).toHaveLength(1);
    expect(known[0]!.reason.code).toBe('compare.known-charge-strength-more');
    const both = causesOf(reference, courseRun({ chargeAbv: 0.31, vapourK: 0.5 }));
    expect(both.map((one) => one.reason.code).slice(0, 2)).toEqual([
      'compare.known-charge-strength-more',
      'compare.cause-vapour-probe-more',
    ]);
  });

  it('does not take a strength that comes from the vapour for a second witness', () => {
    const byVapour = (run: ComparedRun): ComparedRun => ({ ...run, strengthBy: 'vapour-temp' });
    const wrong = courseRun({ vapourK: 0.5 });
    // The strength follows the probe it is worked out from.
    const points = wrong.points.map((point) => ({ ...point, strengthAbv: point.strengthAbv! - 0.02 }));
    const [first] = causesOf(byVapour(reference), byVapour({ ...wrong, points }));
    expect(first).toMatchObject({ cause: 'vapour-probe' });
    expect(first!.explains).toBeGreaterThan(0.98);
  });

  it('knows only probes, pressure and light heads for a column', () => {
    expect(
      causesOf(reference, courseRun({ refluxShare: 0.26 }), false).every(
        (one) => !['reflux', 'heating'].includes(one.cause),
      ),
    ).toBe(true);
    expect(causesOf(reference, courseRun({ vapourK: 0.5 }), false)[0]!.cause).toBe('vapour-probe');
  });

  it('says nothing where runs have nothing in common', () => {
    expect(causesOf(reference, { ...courseRun(), points: [] })).toEqual([]);
  });
});

describe('why a run of the simulated still differs, whose physics is another', () => {
  const reference = simulatedRun();

  it.each<[string, CauseOfDifference, number, SimulatedRun]>([
    ['a tenth more heat', 'heating', 10, { heatShare: 0.77 }],
    ['a tenth less heat', 'heating', -10, { heatShare: 0.63 }],
    [
      'a charge stronger than written down',
      'charge-misjudged',
      1,
      { options: { charge: { strengthAbv: 0.31 } }, saidAbv: 0.3 },
    ],
    ['a vapour probe that reads high', 'vapour-probe', 0.5, { vapourK: 0.5 }],
    ['a barometer that reads high', 'air-pressure', 10, { barometerHPa: 10 }],
  ])('finds %s', (_what, cause, amount, made) => {
    const [first] = causesOf(reference, simulatedRun(made));
    expect(first?.cause).toBe(cause);
    expect(first!.amount / amount).toSatisfy((ratio: number) => ratio > 0.75 && ratio < 1.3);
    expect(first!.explains).toBeGreaterThan(0.9);
  });

  it('finds a repeat alike, whatever the weather', () => {
    const elsewhere = simulatedRun({
      options: { site: { weather: { offsetHPa: 25, wanderHPaPerRootH: 0, front: null } } },
    });
    const comparison = compareRuns(reference, elsewhere);
    expect(comparison.departures).toEqual([]);
    expect(comparison.causes).toEqual([]);
  });

  it('explains all of a charge that was written down as stronger', () => {
    const causes = causesOf(reference, simulatedRun({ options: { charge: { strengthAbv: 0.31 } } }));
    expect(causes.map((one) => one.reason.code)).toEqual(['compare.known-charge-strength-more']);
  });
});
