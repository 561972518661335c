import { z } from 'zod';
import { type Checked, type Problem, parseDocument, problem } from '../problems';

/** What a taster says of a jar: not wanted, wanted, wanted only where the spirit will rest in oak, not sure yet. */
export const verdicts = ['out', 'in', 'in-for-oak', 'unsure'] as const;
export type Verdict = (typeof verdicts)[number];

export const mostJars = 200;

const text = (longest: number) => z.string().max(longest);

/** What the instruments showed when one jar was changed for the next. */
export const readingSchema = z
  .strictObject({
    vapourTempC: z.number().min(-10).max(120).optional().describe('Vapour temperature as read, not corrected'),
    boilerTempC: z.number().min(-10).max(130).optional().describe('Boiler temperature as read'),
    airPressureHPa: z.number().min(500).max(1100).optional().describe('Air pressure, on the basis the sheet states'),
    timeS: z.number().min(0).max(1e6).optional().describe('Time since the start of the run'),
  })
  .describe('Readings at a changeover');
export type ChangeoverReading = z.output<typeof readingSchema>;

export const tastingSchema = z.strictObject({
  taster: z.string().min(1).max(40),
  nose: text(500).optional(),
  front: text(500).optional().describe('Front of the palate'),
  middle: text(500).optional().describe('Middle of the palate'),
  back: text(500).optional().describe('Back of the palate'),
  descriptors: z
    .array(z.string().regex(/^[^|]{1,40}$/, 'is empty, too long or has a |'))
    .max(24)
    .default([])
    .describe("Words of the trade, or one's own"),
  intensity: z.number().min(0).max(5).optional().describe('0 nothing, 5 overwhelming'),
  verdict: z.enum(verdicts).optional(),
  hiddenNumber: z.number().int().min(100).max(999).optional().describe('Number on the glass in a blind tasting'),
});
export type Tasting = z.output<typeof tastingSchema>;

export const jarSchema = z.strictObject({
  number: z.number().int().min(1).max(mostJars),
  start: readingSchema.optional().describe('Taken from the end of the jar before if left out'),
  end: readingSchema.optional().describe('Left out while the jar is still filling'),
  volumeL: z.number().positive().max(100_000).optional(),
  strengthVolPercent: z.number().min(0).max(100).optional().describe('As the header says: as read, or true'),
  sampleTempC: z
    .number()
    .min(-20)
    .max(40)
    .optional()
    .describe('At which volume and strength were measured; 20 if left out'),
  note: text(1000).optional(),
  tastings: z.array(tastingSchema).max(24).default([]),
  verdict: z.enum(verdicts).optional().describe('The decision; the consensus of the tasters if left out'),
});
export type Jar = z.output<typeof jarSchema>;

const limits = z.number().positive();

export const sheetSchema = z
  .strictObject({
    sheet: z.literal(1).describe('Version of this document'),
    name: z.string().min(1).max(80),
    run: text(80).optional().describe('The run it was written in, where there is a record of it'),
    startedAt: text(40).optional().describe('Date and time of the start, ISO 8601'),
    still: z.strictObject({
      id: text(60).optional(),
      name: z.string().min(1).max(80),
      kind: z.enum(['pot', 'column']).default('pot'),
      holdUpL: z.number().min(0).max(1000).default(0).describe('Liquid between probe and spout'),
    }),
    charge: z.strictObject({
      volumeL: z.number().positive().max(100_000),
      strengthVolPercent: z.number().positive().max(96).describe('True strength at 20 °C'),
      tempC: z.number().min(-20).max(40).default(20).describe('At which the volume was measured'),
      what: text(80).optional().describe('What it is, e.g. perry low wines'),
      feintsSharePercent: z
        .number()
        .min(0)
        .max(100)
        .optional()
        .describe('Feints of earlier runs, share of the alcohol'),
    }),
    heaterW: z.number().positive().max(1e7).optional().describe('Heat while collecting'),
    takeOffLPerH: z.number().positive().max(1e5).optional(),
    probe: z
      .strictObject({
        resolutionK: limits.max(5).default(0.1).describe('Smallest step of the vapour reading'),
        accuracyK: limits.max(10).default(0.2).describe('Within which the corrected vapour reading is right'),
        offsetK: z.number().min(-10).max(10).default(0).describe('Corrected = gain × read + offset'),
        gain: z.number().min(0.8).max(1.25).default(1),
        boilerOffsetK: z.number().min(-10).max(10).default(0),
      })
      .prefault({}),
    airPressure: z
      .strictObject({
        basis: z.enum(['station', 'sea-level']).default('station').describe('Sea-level-reduced needs the altitude'),
        altitudeM: z.number().min(-400).max(5500).optional(),
        accuracyHPa: limits.max(100).default(1),
      })
      .prefault({}),
    strength: z
      .strictObject({
        reading: z
          .enum(['as-read', 'true'])
          .default('as-read')
          .describe('Hydrometer as read, or true strength at 20 °C'),
        basis: z.enum(['20C', '60F']).default('20C').describe('Temperature at which the hydrometer is true'),
      })
      .prefault({}),
    foreshotsJars: z.number().int().min(0).max(20).default(1).describe('Jars at the front that are foreshots'),
    beforeJarsL: z.number().min(0).max(10_000).default(0).describe('Foreshots taken before jar 1'),
    beforeJarsVolPercent: z.number().min(0).max(100).optional().describe('Their strength; that of jar 1 if left out'),
    jars: z.array(jarSchema).max(mostJars),
  })
  .meta({ id: 'MiddlecutJarSheet', title: 'A jar sheet: a development run jar by jar, and what was tasted' });

export type Sheet = z.output<typeof sheetSchema>;
export type SheetDocument = z.input<typeof sheetSchema>;

/**
 * Reads a jar sheet: schema, numbering, and what belongs together. A sheet still being written is fine; what a recipe
 * needs besides is asked when one is derived.
 *
 * @param document a jar sheet as people write or programs keep it
 * @returns the sheet, or all problems at once with path, value and remedy
 */
export function checkSheet(document: unknown): Checked<Sheet> {
  const parsed = parseDocument(sheetSchema, document);
  if (parsed.kind === 'bad') return parsed;
  const sheet = parsed.value;
  const problems = [...numbering(sheet), ...tasters(sheet), ...basis(sheet)];
  return problems.length > 0 ? { kind: 'bad', problems } : { kind: 'ok', value: sheet, warnings: [] };
}

function numbering(sheet: Sheet): Problem[] {
  const seen = new Set<number>();
  return sheet.jars.flatMap((jar, index) => {
    const path = `jars.${index}.number`;
    const twice = seen.has(jar.number);
    seen.add(jar.number);
    if (twice)
      return [
        problem(path, jar.number, 'is given to two jars', 'Number the jars 1, 2, 3, … in the order they were filled'),
      ];
    return jar.number === index + 1
      ? []
      : [
          problem(
            path,
            jar.number,
            `stands where jar ${index + 1} belongs`,
            'Number the jars 1, 2, 3, … in the order they were filled',
          ),
        ];
  });
}

function tasters(sheet: Sheet): Problem[] {
  return sheet.jars.flatMap((jar, index) =>
    jar.tastings.flatMap((tasting, at) =>
      jar.tastings.findIndex((other) => other.taster === tasting.taster) === at
        ? []
        : [
            problem(
              `jars.${index}.tastings.${at}.taster`,
              tasting.taster,
              'tasted this jar twice',
              'Keep one entry a taster and jar',
            ),
          ],
    ),
  );
}

function basis(sheet: Sheet): Problem[] {
  return sheet.airPressure.basis === 'sea-level' && sheet.airPressure.altitudeM === undefined
    ? [
        problem(
          'airPressure.altitudeM',
          undefined,
          'is missing: pressure reduced to sea level cannot be taken back to the station',
          'Give the altitude of the still, or the station pressure',
        ),
      ]
    : [];
}
