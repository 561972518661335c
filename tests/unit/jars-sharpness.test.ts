import { describe, expect, it } from 'vitest';
import {
  adviseNextRun,
  carefulRepeat,
  cautionsOf,
  checkSheet,
  courseAt,
  type DeriveOptions,
  deriveRecipe,
  potCourse,
  potSensitivity,
  type SheetDocument,
  sayJars,
  shareByVapour,
} from '../../lib/jars';
import { tabulateEquilibrium } from '../../lib/physics';
import { inventSheet, usualVerdicts } from './jars-sheet';

function derived(document: SheetDocument, options: DeriveOptions = {}) {
  const checked = checkSheet(document);
  if (checked.kind === 'bad') throw new Error(JSON.stringify(checked.problems));
  const result = deriveRecipe(checked.value, options);
  if (result.kind === 'bad') throw new Error(JSON.stringify(result.problems));
  return result.value;
}

const table = tabulateEquilibrium();

/** Share at which a run of a given charge and reflux passes a temperature [%]: found by walking its course. */
function shareAtTemp(strengthAbv: number, refluxShare: number, tempC: number): number {
  const course = potCourse(strengthAbv, refluxShare, table);
  let low = 0;
  let high = 99;
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (courseAt(course, 'vapourC', middle) < tempC) low = middle;
    else high = middle;
  }
  return low;
}

describe('the sharpness of a cut', () => {
  const { variants, fit } = derived(inventSheet());
  const { cuts, heads, tails } = variants[0]!;

  it('finds the reflux of the still from its jars', () => {
    expect(fit?.basis).toBe('fitted');
    expect(fit?.refluxShare).toBeCloseTo(0.2, 2);
    expect(fit?.distanceK).toBeLessThan(0.01);
    for (const refluxShare of [0.05, 0.35, 0.5]) {
      expect(derived(inventSheet({ refluxShare })).fit?.refluxShare).toBeCloseTo(refluxShare, 2);
    }
  });

  it('is blunt by temperature and sharp by share at the heads, alike at the tails', () => {
    expect(heads.byTemperature.sharePercent!).toBeGreaterThan(20 * heads.byShare.sharePercent!);
    expect(tails.byTemperature.sharePercent! / tails.byShare.sharePercent!).toSatisfy(
      (times: number) => times > 0.5 && times < 2,
    );
  });

  it('says the same in kelvin, in share and in litres', () => {
    for (const sharpness of [heads, tails]) {
      const { kelvin, sharePercent, volumeL } = sharpness.byTemperature;
      expect(sharePercent! * sharpness.slopeKPerPercent!).toBeCloseTo(kelvin!, 9);
      // One per cent of 15 L of alcohol in spirit of 65 to 82 % vol.
      expect(volumeL! / sharePercent!).toSatisfy((litres: number) => litres > 0.15 / 0.82 && litres < 0.15 / 0.65);
    }
  });

  it('adds its causes in quadrature as rectangular limits with coverage 2', () => {
    const squares = heads.byTemperature.parts.reduce((sum, part) => sum + part.kelvin! ** 2, 0);
    expect(heads.byTemperature.kelvin).toBeCloseTo(2 * Math.sqrt(squares / 3), 12);
    expect(heads.byTemperature.parts.map((part) => part.cause)).toEqual([
      'probe-resolution',
      'probe-calibration',
      'air-pressure',
      'charge-strength',
      'heating',
    ]);
  });

  it.each(['heads', 'tails'] as const)(
    'at the %s foretells how far a stronger charge and more heat move a cut by temperature',
    (cut) => {
      const place = cuts[cut];
      const sharpness = variants[0]![cut];
      const part = (cause: string) => sharpness.byTemperature.parts.find((one) => one.cause === cause)!.sharePercent!;
      const was = shareAtTemp(0.3, 0.2, place.vapourAtReferenceC);
      const stronger = shareAtTemp(0.3 + carefulRepeat.chargeStrengthVolPercent / 100, 0.2, place.vapourAtReferenceC);
      const hotter = shareAtTemp(0.3, 0.2 / (1 + carefulRepeat.heatPercent / 100), place.vapourAtReferenceC);
      expect(was).toBeCloseTo(place.sharePercent!, 1);
      // The vapour of a stronger charge is colder, so the temperature comes later; more heat brings it earlier.
      expect(stronger - was).toBeGreaterThan(0);
      expect(hotter - was).toBeLessThan(0);
      expect(Math.abs(stronger - was) / part('charge-strength')).toSatisfy(
        (ratio: number) => ratio > 0.8 && ratio < 1.25,
      );
      expect(Math.abs(hotter - was) / part('heating')).toSatisfy((ratio: number) => ratio > 0.8 && ratio < 1.25);
    },
  );

  it('grows with what the next run does worse', () => {
    const careless = derived(inventSheet(), { repeat: { chargeStrengthVolPercent: 1, heatPercent: 10, probeK: 0.2 } });
    const careful = derived(inventSheet(), { repeat: { probeK: 0.05 } });
    const by = (one: typeof careless) => one.variants[0]!.heads.byTemperature.sharePercent!;
    expect(by(careless)).toBeGreaterThan(1.4 * heads.byTemperature.sharePercent!);
    expect(by(careful)).toBeLessThan(0.6 * heads.byTemperature.sharePercent!);
  });

  it('is as wide as the two jars beside it where it was tasted, wider with a jar nobody is sure of', () => {
    expect(heads.tasted.sharePercent).toBeCloseTo(2.5, 6);
    const unsure = derived(
      inventSheet({ verdicts: usualVerdicts.map((verdict, index) => (index === 3 ? 'unsure' : verdict)) }),
    );
    expect(unsure.variants[0]!.heads.tasted.sharePercent).toBeCloseTo(5, 6);
  });

  it('leaves charge and heating out for a column', () => {
    const column = derived(inventSheet({ over: { still: { name: 'Column', kind: 'column' } } }));
    expect(column.variants[0]!.heads.byTemperature.parts.map((part) => part.cause)).toEqual([
      'probe-resolution',
      'probe-calibration',
      'air-pressure',
    ]);
  });

  it('says that temperature cannot tell where the vapour stands still', () => {
    const document = inventSheet();
    const jars = document.jars.map((jar) => ({
      ...jar,
      end: { ...jar.end, vapourTempC: jar.number < 12 ? 80 : jar.end!.vapourTempC! },
    }));
    const { variants: found, fit: assumed } = derived({ ...document, jars } as SheetDocument);
    expect(assumed?.basis).toBe('assumed');
    expect(found[0]!.heads.slopeKPerPercent).toBeNull();
    expect(found[0]!.heads.byTemperature.sharePercent).toBeNull();
    expect(found[0]!.heads.byTemperature.kelvin).toBeGreaterThan(0.1);
  });

  it('gives a window of temperature and share in which a cut is plausible', () => {
    const [headsWindow, tailsWindow] = variants[0]!.plausible;
    expect(headsWindow?.phase).toBe('heads');
    expect(headsWindow!.vapour!.toC - headsWindow!.vapour!.fromC).toBeCloseTo(
      4 * Math.hypot(heads.byTemperature.kelvin!, heads.byShare.kelvin!),
      1,
    );
    expect(tailsWindow?.phase).toBe('hearts');
    expect(tailsWindow!.sharePercent!.from).toBeLessThan(cuts.tails.sharePercent!);
  });
});

describe('a pot course', () => {
  it('has slopes of the right sign at every share', () => {
    const { fit } = derived(inventSheet());
    for (const share of [5, 20, 40, 60, 80]) {
      const slopes = potSensitivity(fit!, share);
      expect(slopes.slopeKPerPercent).toBeGreaterThan(0);
      expect(slopes.perVolPercentK).toBeLessThan(0);
      expect(slopes.perHeatPercentK).toBeGreaterThan(0);
    }
  });

  it('is empty outside its range', () => {
    expect(potCourse(0.97, 0.2, table)).toEqual([]);
    expect(potCourse(0, 0.2, table)).toEqual([]);
    expect(potCourse(0.3, -0.1, table)).toEqual([]);
    expect(courseAt([], 'vapourC', 5)).toBeNaN();
  });
});

describe('advice for the next run', () => {
  const say = (document: SheetDocument, options: DeriveOptions = {}) => {
    const made = derived(document, options);
    return [...adviseNextRun(made), ...cautionsOf(made)].map((reason) => sayJars(reason));
  };

  it('wants smaller jars where a cut lies in a wide one', () => {
    const wide = say(inventSheet({ shares: usualVerdicts.map(() => 4) }));
    expect(wide.filter((one) => one.includes('near the heads cut'))).not.toEqual([]);
    expect(wide.some((one) => /take jars of 0\.4\d L \(2\.5 %\) from 8\d\.\d °C to 8\d\.\d °C/.test(one))).toBe(true);
  });

  it('names jars that are too wide, too few, unmeasured, undecided, disputed or oddly described', () => {
    const document = inventSheet({
      shares: [2, 2, 2.5, 8, 5, 5, 5, 5, 5, 3, 3],
      verdicts: ['out', 'out', 'unsure', 'in', 'in', 'in', 'in', 'in', 'in', 'in', 'in'],
    });
    const jars = document.jars.map((jar) =>
      jar.number === 5
        ? {
            ...jar,
            strengthVolPercent: undefined,
            tastings: [{ taster: 'Ann', descriptors: ['solvent', 'sharp', 'pear'] }],
          }
        : jar.number === 6
          ? {
              ...jar,
              verdict: undefined,
              tastings: [
                { taster: 'Ann', verdict: 'in' as const },
                { taster: 'Ben', verdict: 'in' as const },
                { taster: 'Cid', verdict: 'out' as const },
              ],
            }
          : jar,
    );
    const said = say({ ...document, jars } as SheetDocument).join('\n');
    expect(said).toContain('jars 4 hold more than 5.0 %');
    expect(said).toContain('11 jars are few');
    expect(said).toContain('the last jar (11) is still in');
    expect(said).toContain('jar 3 is not decided');
    expect(said).toContain('jar 6 is in, but not everybody agrees (Cid: out)');
    expect(said).toContain('jar 5 is in, though it was called sharp, solvent');
    expect(said).toContain('measure strength and sample temperature of jars 5');
  });

  it('warns of a heads cut by temperature with its worth in volume, and not of one by share', () => {
    const blunt =
      /the heads cut \(white\) by temperature is sharp to 0\.26 K, which is 6\.4 % of the alcohol or 1\.20 L; most of it comes from the calibration of the probe/;
    expect(say(inventSheet(), { by: 'temperature' }).some((one) => blunt.test(one))).toBe(true);
    expect(say(inventSheet()).some((one) => one.includes('the heads cut (white) by temperature'))).toBe(false);
  });

  it('never says that taking heads away takes methanol away, and says what a recipe is not', () => {
    const said = say(inventSheet()).join('\n');
    expect(said).toContain('does not take methanol away');
    expect(said).toContain('predictions of a model');
    expect(said).not.toContain('?');
  });

  it('compares alcohol by vapour temperature with alcohol measured', () => {
    const made = derived(inventSheet());
    expect(Math.abs(shareByVapour(made.figures)!)).toBeLessThan(0.3);
    const off = derived(inventSheet({ over: { probe: { offsetK: 2 } } }));
    expect(shareByVapour(off.figures)!).toBeLessThan(-3);
    expect(cautionsOf(off).some((one) => one.code === 'jars.caution-strength-by-vapour')).toBe(true);
  });
});
