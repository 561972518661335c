import { courseAt, potCourse } from '../../lib/jars/pot-course';
import type { SheetDocument, Verdict } from '../../lib/jars/sheet';
import { massFractionFromAbv, shiftBoilerTemp, shiftVapourTemp, tabulateEquilibrium } from '../../lib/physics';
import { hydrometerReadingAbv, pureAlcoholL } from '../../lib/proofing';

/** Invented for the tests: a run of the orchard still, its temperatures and strengths from the pot course. */
export interface Invented {
  readonly pressureHPa?: number;
  /** Alcohol of each jar [% of the charge's]. */
  readonly shares?: readonly number[];
  readonly verdicts?: readonly Verdict[];
  readonly holdUpL?: number;
  readonly refluxShare?: number;
  readonly over?: Partial<SheetDocument>;
  /** Round the readings as instruments do: temperatures to 0.1 K, volumes to 1 mL, strengths to 0.1 % vol. */
  readonly rounded?: boolean;
}

export const usualShares: readonly number[] = [
  1.5, 2, 2.5, 2.5, 2.5, 2.5, 4, 5, 5, 5, 5, 5, 5, 5, 5, 5, 4, 2.5, 2.5, 2.5, 2.5, 2.5,
];

/** Out, out, out, out, then in from jar 5 to 17, in for oak 18 and 19, out after. */
export const usualVerdicts: readonly Verdict[] = usualShares.map((_, index) =>
  index < 4 ? 'out' : index < 17 ? 'in' : index < 19 ? 'in-for-oak' : 'out',
);

const chargeL = 50;
const chargeAbv = 0.3;

export function inventSheet(invented: Invented = {}): SheetDocument {
  const pressureHPa = invented.pressureHPa ?? 1013.25;
  const shares = invented.shares ?? usualShares;
  const verdicts = invented.verdicts ?? usualVerdicts;
  const table = tabulateEquilibrium();
  const course = potCourse(chargeAbv, invented.refluxShare ?? 0.2, table);
  const chargeAlcoholL = pureAlcoholL(chargeL, chargeAbv);
  const step = (value: number, places: number) => (invented.rounded === true ? Number(value.toFixed(places)) : value);
  const reading = (share: number, timeS: number) => ({
    vapourTempC: step(shiftVapourTemp(courseAt(course, 'vapourC', share), 1013.25, pressureHPa), 1),
    boilerTempC: step(shiftBoilerTemp(courseAt(course, 'boilerC', share), 1013.25, pressureHPa), 1),
    airPressureHPa: pressureHPa,
    timeS: step(timeS, 0),
  });
  let share = 0;
  let timeS = 1800;
  const jars = shares.map((width, index) => {
    const start = reading(share, timeS);
    const strengthAbv = courseAt(course, 'strengthAbv', share + width / 2);
    const alcoholL = (width / 100) * chargeAlcoholL;
    share += width;
    timeS += width * 240;
    return {
      number: index + 1,
      ...(index === 0 ? { start } : {}),
      end: reading(share, timeS),
      volumeL: step(alcoholL / pureAlcoholL(1, strengthAbv, 18), 3),
      strengthVolPercent: step(100 * hydrometerReadingAbv(massFractionFromAbv(strengthAbv), 18, '20C'), 1),
      sampleTempC: 18,
      verdict: verdicts[index] ?? 'out',
    };
  });
  return {
    sheet: 1,
    name: 'Pear, first run',
    still: { name: 'The orchard still', holdUpL: invented.holdUpL ?? 0 },
    charge: { volumeL: chargeL, strengthVolPercent: 100 * chargeAbv, what: 'perry low wines' },
    heaterW: 3500,
    jars,
    ...invented.over,
  };
}
