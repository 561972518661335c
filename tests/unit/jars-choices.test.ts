import { describe, expect, it } from 'vitest';
import {
  alcoholOfJarsL,
  checkSheet,
  compoundsOf,
  fitPot,
  sayJars,
  weighChoice,
  weighChoices,
  workOut,
} from '../../lib/jars';
import { blend, correctHydrometer, reduce } from '../../lib/proofing';
import { inventSheet } from './jars-sheet';

function figuresOf(document = inventSheet()) {
  const checked = checkSheet(document);
  if (checked.kind === 'bad') throw new Error(JSON.stringify(checked.problems));
  return workOut(checked.value);
}

describe('what a choice of jars comes to', () => {
  const figures = figuresOf();
  const choice = weighChoice(figures, 'as-tasted', 5, 17, 0.42)!;

  it('agrees with the blend of the same jars by hydrometer and volume', () => {
    const parts = inventSheet()
      .jars.slice(4, 17)
      .map((jar) => {
        const corrected = correctHydrometer({
          readingAbv: jar.strengthVolPercent! / 100,
          tempC: jar.sampleTempC!,
          basis: '20C',
        });
        if (corrected.kind === 'bad') throw new Error('bad reading');
        return {
          amount: { kind: 'volume' as const, volumeL: jar.volumeL!, tempC: 18 },
          strengthAbv: corrected.value.strengthAbv,
        };
      });
    const blended = blend(parts);
    if (blended.kind === 'bad') throw new Error('bad parts');
    expect(choice.volume20L).toBeCloseTo(blended.value.volume20L, 12);
    expect(choice.strengthAbv).toBeCloseTo(blended.value.strength.strengthAbv, 12);
    expect(choice.alcoholL).toBeCloseTo(blended.value.alcoholL, 12);
    expect(alcoholOfJarsL(figures, 5, 17)).toBeCloseTo(choice.alcoholL, 9);
  });

  it('agrees with the reduction of that blend to bottling strength', () => {
    const reduced = reduce({
      amount: { kind: 'volume', volumeL: choice.volume20L, tempC: 20 },
      strengthAbv: choice.strengthAbv,
      targetAbv: 0.42,
    });
    if (reduced.kind === 'bad') throw new Error('bad reduction');
    expect(choice.bottling!.waterL).toBeCloseTo(reduced.value.waterL, 9);
    expect(choice.bottling!.volume20L).toBeCloseTo(reduced.value.volume20L, 9);
    expect(choice.bottling!.volume20L * 0.42).toBeCloseTo(choice.alcoholL, 6);
  });

  it('counts shares of the run and of the charge', () => {
    expect(choice.shareOfChargePercent).toBeCloseTo(58, 6);
    expect(choice.shareOfRunPercent).toBeCloseTo((100 * 58) / 79, 6);
    expect(choice.feintsAlcoholL).toBeCloseTo(0.21 * 15, 6);
  });

  it('is set beside one jar more or less at either end', () => {
    const all = weighChoices(figures, { variant: 'white', firstJar: 5, lastJar: 17, against: [] }, 0.42, null);
    expect(all.map((one) => one.kind)).toEqual([
      'as-tasted',
      'heads-earlier',
      'heads-later',
      'tails-earlier',
      'tails-later',
    ]);
    const [as, headsEarlier, headsLater, tailsEarlier, tailsLater] = all;
    expect(headsEarlier!.volume20L).toBeGreaterThan(as!.volume20L);
    expect(headsLater!.strengthAbv).toBeLessThan(as!.strengthAbv);
    expect(tailsEarlier!.strengthAbv).toBeGreaterThan(as!.strengthAbv);
    expect(tailsLater!.alcoholL).toBeGreaterThan(as!.alcoholL);
  });

  it('never proposes foreshots or jars there are not', () => {
    const all = weighChoices(figures, { variant: 'white', firstJar: 2, lastJar: 22, against: [] }, 0.42, null);
    expect(all.map((one) => one.kind)).toEqual(['as-tasted', 'heads-later', 'tails-earlier']);
  });

  it('warns of clouding below 42 % vol, more so when cut deep, and says nothing of it at 45', () => {
    const deep = figuresOf(inventSheet({ shares: [2, 4, 4, 10, 20, 20, 15, 10, 7] }));
    const notes = (of: typeof figures, last: number, bottling: number) =>
      weighChoice(of, 'as-tasted', 3, last, bottling)!.notes.map((one) => one.code);
    expect(notes(deep, 9, 0.4)).toContain('jars.caution-clouding-deep');
    expect(notes(deep, 4, 0.4)).toContain('jars.caution-clouding');
    expect(notes(deep, 9, 0.45)).not.toContain('jars.caution-clouding-deep');
    const said = sayJars(weighChoice(deep, 'as-tasted', 3, 9, 0.4)!.notes[0]!);
    expect(said).toMatch(
      /last jar at \d+\.\d % vol\) and reduced to 40\.0 % vol: below about 42 % vol it is likely to cloud \(common practice\)/,
    );
  });

  it('says when hearts are weaker than the bottle wants', () => {
    const weak = weighChoice(figures, 'as-tasted', 5, 17, 0.8)!;
    expect(weak.bottling).toBeNull();
    expect(weak.notes.map((one) => one.code)).toContain('jars.caution-too-weak');
  });

  it('cannot be told where a jar has no volume', () => {
    const document = inventSheet();
    const jars = document.jars.map((jar) => (jar.number === 9 ? { ...jar, volumeL: undefined } : jar));
    const checked = checkSheet({ ...document, jars });
    if (checked.kind === 'bad') throw new Error('bad');
    expect(weighChoice(workOut(checked.value), 'as-tasted', 5, 17, 0.42)).toBeNull();
  });

  it('marks strengths that were estimated', () => {
    const document = inventSheet();
    const jars = document.jars.map((jar) => (jar.number === 9 ? { ...jar, strengthVolPercent: undefined } : jar));
    const guessed = weighChoice(figuresOf({ ...document, jars } as typeof document), 'as-tasted', 5, 17, 0.42)!;
    expect(guessed.estimated).toBe(true);
    expect(guessed.strengthAbv).toBeCloseTo(choice.strengthAbv, 3);
    expect(choice.estimated).toBe(false);
  });
});

describe('minor compounds of a choice, predicted', () => {
  const figures = figuresOf();
  const compounds = compoundsOf(fitPot(figures))!;
  const ratio = (name: string, first: number, last: number) =>
    weighChoice(figures, 'as-tasted', first, last, 0.42, compounds)!.compounds.find((one) => one.name === name)!.ratio;

  it('let light ones lead, heavy ones trail, and methanol come all through the run', () => {
    expect(ratio('ethyl acetate', 1, 4)).toBeGreaterThan(3);
    expect(ratio('ethyl acetate', 14, 17)).toBeLessThan(0.1);
    expect(ratio('acetic acid', 1, 4)).toBeLessThan(ratio('acetic acid', 20, 22));
    for (const [first, last] of [
      [1, 4],
      [5, 10],
      [11, 17],
      [18, 22],
    ] as const) {
      expect(ratio('methanol', first, last)).toSatisfy((one: number) => one > 0.6 && one < 1.6);
    }
  });

  it('never come over more than whole, and add up over the jars', () => {
    const share = (first: number, last: number, name: string) =>
      weighChoice(figures, 'as-tasted', first, last, 0.42, compounds)!.compounds.find((one) => one.name === name)!
        .sharePercent;
    for (const name of ['methanol', 'isoamyl alcohol', 'acetaldehyde']) {
      expect(share(1, 22, name)).toBeLessThanOrEqual(100);
      expect(share(1, 9, name) + share(10, 22, name)).toBeCloseTo(share(1, 22, name), 9);
    }
  });
});
