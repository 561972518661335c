import { describe, expect, it } from 'vitest';
import type { RunSummary } from '../../daemon/host/summary';
import { type AfterRun, checkAfterRun } from '../../daemon/report';
import { tellYield } from '../../daemon/report/yield';

const who = { by: 'Ada', atMs: 0 };
const nothing: AfterRun = { afterRun: 1, measured: {}, feints: [], notes: [] };
const charge = { volumeL: 50, strengthAbv: 0.3 };

function entered(measured: AfterRun['measured']): AfterRun {
  return { ...nothing, measured };
}

/** Fractions of a run as metered or estimated during it. */
function summary(volumeFrom: string, figures: Readonly<Record<string, readonly [number, number | null]>>): RunSummary {
  return {
    state: 'complete',
    lastedS: 100,
    volumeFrom,
    fractions: (['foreshots', 'heads', 'hearts', 'tails'] as const).map((fraction) => {
      const [volumeL, strengthAbv] = figures[fraction] ?? [0, null];
      return { fraction, volumeL, strengthAbv, alcoholL: volumeL * (strengthAbv ?? 0), sharePercent: null };
    }),
    totalL: 0,
    totalAlcoholL: 0,
    chargeAlcoholL: 15,
    potable: true,
  };
}

const metered = summary('measured', { heads: [1, 0.8], hearts: [14, 0.72], tails: [6, 0.4] });

describe('what came of a run', () => {
  it('is as metered until something is measured by hand, and says where each figure comes from', () => {
    const { fractions, totalL, totalAlcoholL } = tellYield(charge, metered, nothing);
    expect(fractions.map(({ fraction }) => fraction)).toEqual(['heads', 'hearts', 'tails']);
    expect(fractions.every(({ volumeL }) => volumeL.from === 'measured')).toBe(true);
    expect(totalL).toBeCloseTo(21, 9);
    // By definition, a litre at 20 °C of x % vol holds x/100 litres of pure alcohol.
    expect(totalAlcoholL).toBeCloseTo(0.8 + 10.08 + 2.4, 6);
  });

  it('takes a volume measured afterwards, keeps the strength of the run, and shows what it was thought to be', () => {
    const [, hearts] = tellYield(charge, metered, entered({ hearts: { volumeL: 13.6, tempC: 20, ...who } })).fractions;
    expect(hearts).toMatchObject({
      volumeL: { value: 13.6, from: 'hand' },
      strengthAbv: { value: 0.72, from: 'measured' },
      during: { volumeL: 14, strengthAbv: 0.72 },
    });
    expect(hearts?.alcoholL).toBeCloseTo(13.6 * 0.72, 6);
  });

  it('reckons a volume measured warm back to 20 °C', () => {
    const warm = tellYield(charge, null, entered({ hearts: { volumeL: 10, strengthAbv: 0.7, tempC: 30, ...who } }));
    // Spirit of this strength expands by 0.8 to 1.1 % over ten kelvin (from memory, as trade tables have it).
    const shrinks = 1 - (warm.fractions[0]?.alcoholL ?? 0) / 7;
    expect(shrinks).toBeGreaterThan(0.008);
    expect(shrinks).toBeLessThan(0.011);
  });

  it('lists a fraction that only a hand has measured, and none that nobody has', () => {
    const { fractions } = tellYield(
      charge,
      null,
      entered({ tails: { volumeL: 2, strengthAbv: 0.4, tempC: 20, ...who } }),
    );
    expect(fractions.map(({ fraction, during }) => [fraction, during])).toEqual([['tails', null]]);
    expect(tellYield(charge, null, nothing).fractions).toEqual([]);
  });

  it('takes the charge as measured afterwards', () => {
    const told = tellYield(charge, metered, entered({ charge: { volumeL: 50, strengthAbv: 0.28, tempC: 20, ...who } }));
    expect(told.charge).toMatchObject({ from: 'hand', strengthAbv: 0.28 });
    expect(told.balance?.chargeAlcoholL).toBeCloseTo(14, 6);
    expect(tellYield(charge, metered, nothing).charge).toMatchObject({ from: 'stated', volumeL: 50, strengthAbv: 0.3 });
  });
});

describe('the balance of alcohol', () => {
  it('parts the charge into fractions, residue and what is unaccounted for', () => {
    const residue = { volumeL: 28, strengthAbv: 0.05, tempC: 20, ...who };
    const { balance, isResidueMeasured } = tellYield(charge, metered, entered({ residue }));
    expect(isResidueMeasured).toBe(true);
    expect(balance?.residueAlcoholL).toBeCloseTo(1.4, 6);
    expect(balance?.unaccountedAlcoholL).toBeCloseTo(15 - 13.28 - 1.4, 6);
  });

  it('adds the errors of one meter up, for they all go the same way', () => {
    const { balance } = tellYield(charge, metered, nothing);
    // 1 % of each metered volume times its strength, and 2 % vol of each, each kind added up; the charge in quadrature.
    const volumes = 0.01 * 13.28;
    const strengths = 0.02 * 21;
    const charged = Math.hypot(0.005 * 50 * 0.3, 0.002 * 50);
    expect(balance?.uncertaintyL).toBeCloseTo(Math.hypot(volumes, strengths, charged), 6);
  });

  it('is surer once everything was measured by hand', () => {
    const hand = (volumeL: number, strengthAbv: number) => ({ volumeL, strengthAbv, tempC: 20, ...who });
    const byHand = entered({ heads: hand(1, 0.8), hearts: hand(14, 0.72), tails: hand(6, 0.4) });
    const estimated = summary('heat', { heads: [1, 0.8], hearts: [14, 0.72], tails: [6, 0.4] });
    const [before, now] = [tellYield(charge, estimated, nothing), tellYield(charge, estimated, byHand)];
    expect(now.balance?.uncertaintyL).toBeLessThan((before.balance?.uncertaintyL ?? 0) / 5);
    expect(now.balance?.verdict).toBe('missing');
  });

  it('is not made without a charge or a strength, and says why', () => {
    expect(tellYield(null, metered, nothing)).toMatchObject({ balance: null, cautions: [{ path: 'charge' }] });
    const blind = summary('measured', { hearts: [14, null] });
    expect(tellYield(charge, blind, nothing)).toMatchObject({ balance: null, cautions: [{ path: 'hearts' }] });
  });

  it('says when more came over than was charged', () => {
    const tooMuch = summary('measured', { hearts: [40, 0.72] });
    expect(tellYield(charge, tooMuch, nothing).balance?.verdict).toBe('excess');
  });

  it('says nothing of a summary of another kind', () => {
    const odd = { ...metered, volumeFrom: 'a new kind of meter' };
    expect(tellYield(charge, odd, nothing).fractions[0]?.volumeL).toMatchObject({ from: 'none', uncertainty: 0.1 });
  });
});

describe('what is entered after a run', () => {
  it('is refused where a figure cannot be, with its place', () => {
    const checked = checkAfterRun({ ...nothing, measured: { hearts: { volumeL: -1, strengthAbv: 73, ...who } } });
    expect(checked).toMatchObject({ kind: 'bad' });
    expect(checked.kind === 'bad' ? checked.problems.map(({ path }) => path) : []).toEqual([
      'measured.hearts.volumeL',
      'measured.hearts.strengthAbv',
    ]);
  });
});
