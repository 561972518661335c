import { describe, expect, it } from 'vitest';
import { compilePlant } from '../../lib/engine/plant';
import {
  checkSheet,
  courseAt,
  type Derivation,
  type DeriveOptions,
  deriveRecipe,
  potCourse,
  type SheetDocument,
  type Verdict,
} from '../../lib/jars';
import { shiftVapourTemp, tabulateEquilibrium } from '../../lib/physics';
import { showProblem } from '../../lib/problems';
import { checkRecipe } from '../../lib/recipe/check';
import { checkStill } from '../../lib/still/check';
import { orchardPot } from '../../simulators/scenarios/orchard-pot';
import { inventSheet, usualShares, usualVerdicts } from './jars-sheet';

function derive(document: SheetDocument, options: DeriveOptions = {}) {
  const checked = checkSheet(document);
  if (checked.kind === 'bad') throw new Error(checked.problems.map(showProblem).join('\n'));
  return deriveRecipe(checked.value, options);
}

function derived(document: SheetDocument, options: DeriveOptions = {}): Derivation {
  const result = derive(document, options);
  if (result.kind === 'bad') throw new Error(result.problems.map(showProblem).join('\n'));
  return result.value;
}

function refusals(document: SheetDocument, options: DeriveOptions = {}): string[] {
  const result = derive(document, options);
  return result.kind === 'ok'
    ? []
    : result.problems.filter((one) => one.severity === 'error').map((one) => `${one.path}: ${one.message}`);
}

const withVerdicts = (change: Readonly<Record<number, Verdict>>) =>
  inventSheet({ verdicts: usualVerdicts.map((verdict, index) => change[index + 1] ?? verdict) });

/** A sheet with single jars changed by number. */
function withJars(
  change: Readonly<Record<number, (jar: SheetDocument['jars'][number]) => object>>,
  over: Partial<SheetDocument> = {},
): SheetDocument {
  const sheet = inventSheet();
  const jars = sheet.jars.map((jar) => ({ ...jar, ...change[jar.number]?.(jar) }));
  return { ...sheet, jars, ...over } as SheetDocument;
}

const stepOf = (recipe: Derivation['recipe'], phase: string) => recipe.phases.find((step) => step.phase === phase)!;

describe('a recipe derived from jars', () => {
  it('cuts heads by share, foreshots by volume, tails by temperature with the share as guard', () => {
    const { recipe } = derived(inventSheet());
    expect(recipe.phases.map((step) => step.phase)).toEqual(['heat-up', 'foreshots', 'heads', 'hearts', 'tails']);
    expect(stepOf(recipe, 'foreshots').endsWhen).toMatchObject({ test: 'volume', since: 'run' });
    expect(stepOf(recipe, 'heads').endsWhen).toEqual({ test: 'alcohol-share', atLeastPercent: 8.5 });
    expect(stepOf(recipe, 'hearts').endsWhen).toMatchObject({ test: 'vapour-temp' });
    const guard = stepOf(recipe, 'hearts').notBefore!.sharePercent!;
    expect(guard).toBeGreaterThan(62.5);
    expect(guard).toBeLessThan(66.5);
  });

  it.each([1030, 1013.25, 870])(
    'carries the temperatures of a sheet written at %d hPa to the reference pressure within 0.01 K',
    (pressureHPa) => {
      const document = inventSheet({ pressureHPa });
      const { recipe, variants } = derived(document, { by: 'temperature' });
      // The sheet was made from a course at 1013.25 hPa: the very same temperatures must come back.
      const course = potCourse(0.3, 0.2, tabulateEquilibrium());
      const headsC = courseAt(course, 'vapourC', 8.5);
      const whiteC = courseAt(course, 'vapourC', 66.5);
      const oakC = courseAt(course, 'vapourC', 71.5);
      expect((stepOf(recipe, 'heads').endsWhen as { atLeastC: number }).atLeastC).toBeCloseTo(headsC, 2);
      expect((stepOf(recipe, 'hearts').endsWhen as { atLeastC: number }).atLeastC).toBeCloseTo(whiteC, 2);
      expect(recipe.variants['for-oak']!.cuts.hearts!.endsWhen).toMatchObject({ atLeastC: expect.closeTo(oakC, 2) });
      // And they are the changeovers as read, moved by the physics.
      for (const { cuts } of variants) {
        const read = document.jars[cuts.selection.lastJar - 1]!.end!.vapourTempC!;
        expect(cuts.tails.vapourAtReferenceC).toBeCloseTo(shiftVapourTemp(read, pressureHPa, 1013.25), 6);
      }
      expect(Math.abs(document.jars[16]!.end!.vapourTempC! - whiteC)).toSatisfy((apart: number) =>
        pressureHPa === 1013.25 ? apart < 1e-6 : apart > 0.4,
      );
    },
  );

  it('places the shares of both cuts and says them in words', () => {
    const { variants, recipe } = derived(inventSheet({ pressureHPa: 960 }));
    expect(variants.map((one) => one.variant)).toEqual(['white', 'for-oak']);
    expect(variants[0]!.cuts.heads.sharePercent).toBeCloseTo(8.5, 6);
    expect(variants[0]!.cuts.tails.sharePercent).toBeCloseTo(66.5, 6);
    expect(variants[1]!.cuts.tails.sharePercent).toBeCloseTo(71.5, 6);
    expect(recipe.about).toMatch(/white: heads cut 83\.22 °C, 8\.5 % .* tails cut 88\.41 °C, 66\.5 %/);
  });

  it('passes the checks of recipes and fits a still', () => {
    const { document, recipe } = derived(inventSheet());
    expect(checkRecipe(document)).toMatchObject({ kind: 'ok', warnings: [] });
    const still = checkStill(orchardPot);
    if (still.kind === 'bad') throw new Error('bad still');
    for (const variant of [null, 'white', 'for-oak']) {
      const plant = compilePlant(still.value, recipe, variant, { volumeL: 50, strengthAbv: 0.3 });
      expect(plant.kind).toBe('ok');
    }
  });

  it('keeps where it came from', () => {
    const { recipe } = derived(inventSheet({ pressureHPa: 964, over: { run: 'run-1', startedAt: '2026-10-03' } }));
    expect(recipe.developedFrom).toEqual({
      run: 'run-1',
      still: 'The orchard still',
      date: '2026-10-03',
      airPressureHPa: 964,
      chargeL: 50,
      chargeVolPercent: 30,
      charge: 'perry low wines',
      heaterW: 3500,
    });
  });

  it('can rest on temperature alone, and then needs no volumes', () => {
    const bare = inventSheet();
    const labels = bare.jars.map(({ number, start, end, verdict }) => ({
      number,
      ...(start ? { start } : {}),
      end,
      verdict,
    }));
    const { recipe } = derived({ ...bare, jars: labels } as SheetDocument, { by: 'temperature' });
    expect(recipe.phases.map((step) => step.phase)).toEqual(['heat-up', 'heads', 'hearts', 'tails']);
    expect(stepOf(recipe, 'hearts').notBefore).toBeUndefined();
    expect(refusals({ ...bare, jars: labels } as SheetDocument)).toEqual([
      'jars.0.volumeL: is missing, so the cut at the end of jar 4 has no place in the run',
    ]);
  });

  it('repeats the heat of the sheet where it knows what the still can give', () => {
    const { recipe } = derived(inventSheet(), { ratedW: 5000 });
    expect(recipe.phases.map((step) => step.heatShare)).toEqual([1, 0.7, 0.7, 0.7, 0.7]);
    expect(derived(inventSheet()).recipe.phases.map((step) => step.heatShare)).toEqual([1, 1, 1, 1, 1]);
    expect(derived(inventSheet(), { ratedW: 3000 }).recipe.phases[2]!.heatShare).toBe(1);
  });

  it('can cut tails by strength', () => {
    const { recipe, variants } = derived(inventSheet(), { tailsBy: 'strength' });
    expect(stepOf(recipe, 'hearts').endsWhen).toMatchObject({ test: 'strength', by: 'vapour-temp' });
    const { atMostVolPercent } = stepOf(recipe, 'hearts').endsWhen as { atMostVolPercent: number };
    expect(atMostVolPercent).toBeCloseTo(100 * variants[0]!.cuts.tails.strengthAbv, 2);
  });

  it('places cuts where the liquid passed the probe when there is a hold-up', () => {
    const plain = derived(inventSheet()).variants[0]!.cuts;
    const held = derived(inventSheet({ holdUpL: 0.2 })).variants[0]!.cuts;
    expect(held.tails.probeL).toBeCloseTo(plain.tails.spoutL! - 0.2, 9);
    expect(held.tails.spoutL).toBeCloseTo(plain.tails.spoutL!, 9);
    // 0.2 L earlier in a jar of 0.86 L: that much of the jar's rise and share earlier, on the straight line.
    const jar = inventSheet().jars[16]!;
    const rise = jar.end!.vapourTempC! - inventSheet().jars[15]!.end!.vapourTempC!;
    expect(held.tails.vapourAtReferenceC).toBeCloseTo(plain.tails.vapourAtReferenceC - (rise * 0.2) / jar.volumeL!, 9);
    expect(held.heads.vapourAtReferenceC).toBeLessThan(plain.heads.vapourAtReferenceC);
  });

  it('has the same cuts for oak where no jar is in only for oak, and says so', () => {
    const { recipe } = derived(withVerdicts({ 18: 'out', 19: 'out' }));
    expect(recipe.variants['for-oak']!.cuts).toEqual({});
    expect(recipe.variants['for-oak']!.about).toContain('no jar is in only for oak');
  });

  it('is for oak only where nothing is fit to be drunk white', () => {
    const only = usualVerdicts.map((verdict): Verdict => (verdict === 'in' ? 'in-for-oak' : verdict));
    const { recipe } = derived(inventSheet({ verdicts: only }));
    expect(Object.keys(recipe.variants)).toEqual(['for-oak']);
  });

  it('takes an earlier heads cut for oak too', () => {
    const { recipe } = derived(withVerdicts({ 4: 'in-for-oak' }));
    expect(recipe.variants['for-oak']!.cuts.heads!.endsWhen).toEqual({ test: 'alcohol-share', atLeastPercent: 6 });
  });

  it('lets hearts follow foreshots at once in one variant only', () => {
    const { recipe, variants } = derived(withVerdicts({ 2: 'in-for-oak', 3: 'in-for-oak', 4: 'in-for-oak' }));
    expect(Object.keys(recipe.variants['for-oak']!.cuts)).toEqual(['foreshots', 'heads', 'hearts']);
    expect(variants[1]!.replay.jarsIn[0]).toBe(2);
  });

  it('knows a column: it equalises first', () => {
    const document = inventSheet({ over: { still: { name: 'Column', kind: 'column' } } });
    const { recipe, fit } = derived(document);
    expect(recipe.stillKind).toBe('column');
    expect(recipe.phases[1]).toMatchObject({ phase: 'equalise', takeOffShare: 0, endsWhen: { test: 'settled' } });
    expect(fit).toBeNull();
  });
});

describe('a sheet that contradicts itself', () => {
  it.each<[string, SheetDocument, RegExp]>([
    ['has no jar in', inventSheet({ verdicts: usualVerdicts.map(() => 'out') }), /^jars: no jar is in$/],
    ['has no jars', { ...inventSheet(), jars: [] }, /^jars: there are no jars$/],
    [
      'leaves a jar out between jars in',
      withVerdicts({ 9: 'out' }),
      /jar 9 is out, but stands between jars that are in/,
    ],
    ['is not decided in the middle', withVerdicts({ 9: 'unsure' }), /jar 9 is not decided/],
    ['has oak only between jars in', withVerdicts({ 9: 'in-for-oak' }), /jar 9 is in-for-oak, but stands between/],
    [
      'takes foreshots in',
      withVerdicts({ 1: 'in', 2: 'in', 3: 'in', 4: 'in' }),
      /jar 1 is in, but the first 1 are foreshots/,
    ],
    [
      'has no temperature at a cut',
      withJars({ 17: ({ end }) => ({ end: { ...end, vapourTempC: undefined } }) }),
      /^jars.16.end.vapourTempC: is missing at the end of jar 17, where a cut is/,
    ],
    [
      'has no air pressure at all',
      (() => {
        const sheet = inventSheet();
        const without = (reading: object | undefined) => ({ ...reading, airPressureHPa: undefined });
        return {
          ...sheet,
          jars: sheet.jars.map((jar) => ({
            ...jar,
            ...(jar.start ? { start: without(jar.start) } : {}),
            end: without(jar.end),
          })),
        } as SheetDocument;
      })(),
      /cannot be moved to the reference pressure/,
    ],
    [
      'has jars that overlap in time',
      withJars({ 9: ({ end }) => ({ end: { ...end, timeS: 100 } }) }),
      /jars overlap in time: the end of jar 9 is not after the end of jar 8/,
    ],
    [
      'reads a changeover twice, differently',
      withJars({ 9: (jar) => ({ start: { vapourTempC: jar.end!.vapourTempC! + 3 } }) }),
      /differs from the end of jar 8/,
    ],
    [
      'mixes pressures of two bases',
      withJars({ 12: ({ end }) => ({ end: { ...end, airPressureHPa: 965 } }) }),
      /jumps by 48 hPa between two readings/,
    ],
    [
      'has pressures reduced to sea level',
      withJars({}, { airPressure: { altitudeM: 900 } }),
      /looks reduced to sea level/,
    ],
    [
      'holds more alcohol than was charged',
      withJars({}, { charge: { volumeL: 30, strengthVolPercent: 30 } }),
      /hold 132 % of the charge's alcohol/,
    ],
    [
      'holds more than was charged',
      withJars({}, { charge: { volumeL: 12, strengthVolPercent: 30 } }),
      /is less than the 15\.\d+ L in the jars/,
    ],
    [
      'has swapped probes',
      withJars(
        Object.fromEntries(
          usualShares.map((_, index) => [
            index + 1,
            (jar: SheetDocument['jars'][number]) => ({ end: { ...jar.end, boilerTempC: 60 } }),
          ]),
        ),
      ),
      /the probes look swapped/,
    ],
    ['grows stronger late in the run', withJars({ 14: () => ({ strengthVolPercent: 95 }) }), /stronger than jar 13/],
    [
      'has a strength no spirit shows',
      withJars({ 3: () => ({ strengthVolPercent: 100, sampleTempC: -20 }) }),
      /^jars.2.strengthVolPercent: /,
    ],
    [
      'has a jar beside a cut filled in a minute',
      withJars({ 5: ({ end }) => ({ end: { ...end, timeS: 1800 + 8.5 * 240 + 60 } }) }),
      /jar 5 beside a cut was filled in 60 s/,
    ],
    [
      'has jars smaller than what stands in the condenser',
      inventSheet({ holdUpL: 0.3 }),
      /less than twice the 0.3 L between probe and spout/,
    ],
  ])('because it %s is refused with an explanation', (_what, document, expected) => {
    const found = refusals(document);
    expect(found.some((one) => expected.test(one))).toBe(true);
  });

  it('gives all its contradictions at once', () => {
    const found = refusals(
      withJars({
        9: ({ end }) => ({ end: { ...end, timeS: 100 }, verdict: 'out' }),
        14: () => ({ strengthVolPercent: 95 }),
      }),
    );
    expect(found.length).toBeGreaterThanOrEqual(3);
  });

  it('is refused where the temperature does not tell the jars apart, unless it is cut by share', () => {
    const level = withJars({
      17: ({ end }) => ({ end: { ...end, vapourTempC: 80 } }),
    });
    expect(refusals(level).some((one) => /already true when it begins|to hearts/.test(one))).toBe(true);
    const { variants } = derived(level, { tailsBy: 'share', variants: ['white'] });
    expect(variants[0]!.replay.jarsIn).toEqual([5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17]);
  });

  it('is derived all the same when the distiller insists, and what is overruled is named', () => {
    const torn = withVerdicts({ 9: 'out' });
    const span = derive(torn, { insist: 'span' });
    if (span.kind === 'bad') throw new Error('refused');
    expect(span.value.variants[0]!.selection).toMatchObject({
      firstJar: 5,
      lastJar: 17,
      against: [{ jar: 9, verdict: 'out' }],
    });
    expect(span.warnings.some((one) => one.message.includes('jar 9 is out'))).toBe(true);
    const longest = derived(torn, { insist: 'longest', variants: ['white'] });
    expect(longest.variants[0]!.selection).toMatchObject({ firstJar: 10, lastJar: 17 });
    expect(longest.variants[0]!.selection.against.map((one) => one.jar)).toEqual([5, 6, 7, 8]);
  });

  it('cannot be insisted on where there is nothing to work with', () => {
    const missing = withJars({ 17: ({ end }) => ({ end: { ...end, vapourTempC: undefined } }) });
    expect(refusals(missing, { insist: 'span' })).toHaveLength(1);
    expect(refusals(inventSheet({ verdicts: [] }), { insist: 'span' })).toHaveLength(1);
  });
});
