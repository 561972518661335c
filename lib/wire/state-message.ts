import { z } from 'zod';
import { alarmFigures } from '../alarms/figures';
import { nextCut } from '../engine/next';
import type { Plant, Run, RunState } from '../engine/types';
import { viewCharge } from '../forecast/show';
import { phases } from '../recipe/schema';
import { type Saying, sayReason } from '../words';

const states = ['idle', 'running', 'held', 'stopping', 'complete', 'stopped', 'aborted'] as const satisfies RunState[];
const reason = z.strictObject({ code: z.string(), text: z.string().describe('In the language of the host') });
const number = z.number().nullable();

const next = z
  .strictObject({
    to: z.enum(phases).describe('The phase it leads to'),
    when: z.string().describe('How things stand with what it waits for'),
    asked: z.boolean().describe('The engine waits for somebody to answer'),
    inS: number.describe('When it comes if all goes on as it does; null where that cannot be told'),
    sigmaS: number.describe('Standard uncertainty of that'),
    fromS: number.describe('Two cuts of three come between fromS and toS'),
    toS: number,
    expected: reason.describe('The same in words, or why it cannot be told'),
  })
  .describe('The next cut; null where no phase of a recipe runs');

const charge = z
  .strictObject({
    sharePercent: z.number().describe("Of the charge's alcohol, come over: by count and boiling temperature together"),
    withinPercent: z.number().describe('Standard uncertainty of that'),
    leftL: z.number().describe('Left in the boiler'),
    leftVolPercent: z.number().describe('Strength of what is left'),
    rateLPerH: z.number().describe('Distillate coming over'),
  })
  .describe('What the charge has come to; null before it boils and where nothing tells');

const alarmCounts = z
  .strictObject({
    active: z.number().describe('Active now, acknowledged or not'),
    unacknowledged: z.number(),
    silenced: z.number().describe('Active but shelved, suppressed or out of service'),
    lastTenMinutes: z.number().describe('Announced in the last ten minutes'),
    isFlood: z.boolean().describe('More than ten in ten minutes: nobody can deal with that'),
    chattering: z.array(z.string()).describe('Raised three times within a minute of the last ten'),
    standing: z.array(z.string()).describe('Active without a break for longer than a day'),
    own: z.array(z.string()).describe('Alarms of the host about itself that stand'),
  })
  .describe('What the alarms ask of the operator, counted as ISA-18.2 / IEC 62682 count; from the daemon');

/** `middlecut/<still>/state`, retained. Fields are only ever added. */
export const stateSchema = z
  .strictObject({
    state: z.enum(states).describe('How the run stands'),
    phase: z.enum(phases).describe('Where the liquid is'),
    since: z.string().describe('Since when, ISO 8601 in UTC'),
    recipe: z.string().nullable(),
    variant: z.string().nullable(),
    run: z.string().nullable().describe('Id of the run in the record'),
    reason: reason.describe('Why it stands so'),
    receiver: z.string().nullable().describe('The receiver that is open'),
    vapourTempC: number.describe('Smoothed, as read'),
    vapourTempAtReferenceC: number.describe('The same vapour at the reference pressure of the recipe'),
    airPressureHPa: number,
    next: next.nullable(),
    charge: charge.nullable(),
    alarmFigures: alarmCounts.optional(),
  })
  .meta({ title: 'State message' });
export type StateMessage = Readonly<z.output<typeof stateSchema>>;

/** The next cut as the state message carries it. */
export function nextMessage(plant: Plant, run: Run, saying: Saying): StateMessage['next'] {
  const cut = nextCut(plant, run);
  if (cut === null) return null;
  const { inS, sigmaS, fromS, toS, reason: expected } = cut.time;
  return {
    to: cut.to,
    when: cut.reasons.map((one) => sayReason(one, saying)).join('; '),
    asked: cut.asked,
    inS,
    sigmaS,
    fromS,
    toS,
    expected: { code: expected.code, text: sayReason(expected, saying) },
  };
}

/**
 * The alarms as the state message carries them.
 *
 * @param own names of the host's own alarms that stand
 */
export function alarmsMessage(run: Run, own: readonly string[] = []): NonNullable<StateMessage['alarmFigures']> {
  const { byPriority: _, chattering, standing, ...counts } = alarmFigures(run);
  return { ...counts, chattering: [...chattering], standing: [...standing], own: [...own] };
}

/** The charge as the state message carries it: no finer than it is known. */
export function chargeMessage(plant: Plant, run: Run): StateMessage['charge'] {
  const view = viewCharge(plant, run);
  if (view === null) return null;
  const round = (value: number, places: number) => Number(value.toFixed(places));
  return {
    sharePercent: round(view.sharePercent, 1),
    withinPercent: round(view.withinPercent, 1),
    leftL: round(view.leftL, 1),
    leftVolPercent: round(view.leftVolPercent, 1),
    rateLPerH: round(view.rateLPerH, 2),
  };
}
