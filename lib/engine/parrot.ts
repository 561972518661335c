import { correctHydrometer } from '../proofing';
import { pointOf, valueOfKind } from './image';
import { isSettled, valueAt } from './line';
import type { Estimate, Image, Plant } from './types';

/** Longer than this the parrot is no guide to what runs into it now [s]. */
const longestLagS = 900;

/**
 * Strength of the distillate that runs into the parrot now.
 *
 * The hydrometer's reading is corrected to 20 °C by the temperature in the parrot, and moved ahead by the parrot's lag: it
 * mixes, so what runs in is c + τ dc/dt, with τ the parrot's volume over the flow.
 *
 * @returns fraction by volume at 20 °C; null where the parrot tells nothing now
 */
export function parrotStrength(
  plant: Plant,
  image: Image,
  lines: Estimate['lines'],
  rateLPerH: number,
  now: number,
): number | null {
  const point = pointOf(plant, 'parrot-strength');
  const seen = point === null ? undefined : image[point.id];
  if (point === null || seen?.quality !== 'good' || seen.value === null) return null;
  const line = lines[point.id];
  const settled = line !== undefined && isSettled(line, now) ? valueAt(line, now) : null;
  const readingAbv = settled === null ? seen.value : settled.value / 100;
  const tempC = valueOfKind(plant, image, 'parrot-temp');
  const trueAbv = tempC === null ? readingAbv : corrected(readingAbv, tempC);
  if (trueAbv === null) return null;
  const { parrotL } = plant.still.spout;
  const lagS = parrotL > 0 && rateLPerH > 0 ? Math.min(longestLagS, (parrotL / rateLPerH) * 3600) : 0;
  const ahead = settled === null ? 0 : (settled.slopePerS / 100) * lagS;
  return Math.min(1, Math.max(0, trueAbv + ahead));
}

function corrected(readingAbv: number, tempC: number): number | null {
  const checked = correctHydrometer({ readingAbv: Math.min(1, Math.max(0, readingAbv)), tempC, basis: '20C' });
  return checked.kind === 'ok' ? checked.value.strengthAbv : null;
}
