import { describe, expect, it } from 'vitest';
import { checkSheet, type DeriveOptions, deriveRecipe, type Jar, type SheetDocument } from '../../lib/jars';
import { showProblem } from '../../lib/problems';
import { createStill, fractionsOf, step, truthOf, undisturbed } from '../../simulators/model';
import { scenarios, specOf } from '../../simulators/scenarios';
import { simulate } from '../../simulators/simulate';

const charge = { volumeL: 55, strengthAbv: 0.29, tempC: 15 };
const widths = [1.5, 2, 2.5, 2.5, 2.5, 2.5, 4, 5, 5, 5, 5, 5, 5, 5, 5, 5, 4, 2.5, 2.5, 2.5, 2.5, 2.5];
const rounded = (value: number, places: number) => Number(value.toFixed(places));

/** Hand work at the simulated still: jars changed by share, thermometer, barometer and hydrometer read as finely as they show. */
function developmentSheet(): SheetDocument {
  const weather = { offsetHPa: -4, wanderHPaPerRootH: 0.3, front: null };
  const state = createStill(specOf(scenarios['pot-spirit'], { tracers: true, charge, site: { weather } }), 3);
  const actuators = {
    heat: { heat: 0.7 },
    contactorClosed: true,
    coolantShare: 1,
    takeOffShare: 1,
    receivers: { 'feints-can': 1 },
  };
  const world = undisturbed();
  const reading = () => {
    const { vapourTempC, airPressureHPa, timeS } = truthOf(state);
    return { vapourTempC: rounded(vapourTempC, 1), airPressureHPa: rounded(airPressureHPa, 1), timeS };
  };
  const jars: (Partial<Jar> & { number: number })[] = [];
  let start: ReturnType<typeof reading> | undefined;
  let before = { volumeL: 0, alcoholL: 0 };
  let sharePercent = widths[0]!;
  for (let second = 0; second < 60_000 && jars.length < widths.length; second++) {
    step(state, actuators, world, 1);
    const can = fractionsOf(state)['feints-can']!;
    if (can.volumeL > 0.001) start ??= reading();
    if ((100 * can.alcoholL) / (charge.volumeL * charge.strengthAbv) < sharePercent) continue;
    const volumeL = can.volumeL - before.volumeL;
    const number = jars.length + 1;
    jars.push({
      number,
      ...(number === 1 && start !== undefined ? { start } : {}),
      end: reading(),
      volumeL: rounded(volumeL, 3),
      strengthVolPercent: rounded((100 * (can.alcoholL - before.alcoholL)) / volumeL, 1),
      verdict: number <= 4 ? 'out' : number <= 17 ? 'in' : number <= 19 ? 'in-for-oak' : 'out',
    });
    before = can;
    sharePercent += widths[number] ?? 0;
  }
  return {
    sheet: 1,
    name: 'Pear, first run',
    still: { id: 'orchard', name: 'The orchard still', holdUpL: 0.08 },
    charge: { volumeL: charge.volumeL, strengthVolPercent: 100 * charge.strengthAbv },
    strength: { reading: 'true' },
    heaterW: 3500,
    jars: jars as SheetDocument['jars'],
  };
}

const document = developmentSheet();

function derived(options: DeriveOptions) {
  const checked = checkSheet(document);
  if (checked.kind === 'bad') throw new Error(checked.problems.map(showProblem).join('\n'));
  const result = deriveRecipe(checked.value, { ratedW: 5000, ...options });
  if (result.kind === 'bad') throw new Error(result.problems.map(showProblem).join('\n'));
  return result.value;
}

describe('a recipe from a simulated development run of 22 jars', () => {
  const white = document.jars.slice(4, 17);
  const heartsL = white.reduce((sum, jar) => sum + jar.volumeL!, 0);
  const heartsAbv = white.reduce((sum, jar) => sum + (jar.volumeL! * jar.strengthVolPercent!) / 100, 0) / heartsL;

  it('finds a pot with reflux, and cuts where it was tasted', () => {
    const { fit, variants } = derived({});
    expect(fit?.basis).toBe('fitted');
    expect(fit?.distanceK).toBeLessThan(0.3);
    expect(variants[0]!.cuts.tails.sharePercent).toSatisfy((share: number) => Math.abs(share - 66.5) < 1);
  });

  // The engine under the simulated site, with its probes' noise and steps; volumes it only estimates from the heat.
  it.each([20, -30])(
    'repeats the hearts within 2.5 % of volume and half a per cent of strength at %d hPa of other weather',
    (seaLevelOffsetHPa) => {
      const { document: recipe } = derived({});
      const run = simulate({ scenario: 'pot-spirit', recipe, variant: 'white', charge, seaLevelOffsetHPa });
      if (run.kind === 'bad') throw new Error(run.problems.map(showProblem).join('\n'));
      const hearts = run.value.fractions['hearts-can']!;
      expect(Math.abs(hearts.volumeL / heartsL - 1)).toBeLessThan(0.025);
      expect(Math.abs(hearts.strengthAbv - heartsAbv)).toBeLessThan(0.005);
      expect(run.value.events.filter((event) => event.kind === 'cut-asked')).toEqual([]);
    },
  );
});
