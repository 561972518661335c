import { hottest, lowestBubbleC, needsCoolant, vapourThereC } from '../engine/hot';
import type { Plant, Run } from '../engine/types';

/** Kelvin below the boiling point from which on vapour is expected. */
const soonK = 10;

/** Whether vapour reaches the condenser now or soon; with no probe that tells, it does. */
export function condenses(plant: Plant, run: Run): boolean {
  if (!needsCoolant(plant, run, run.image)) return false;
  const vapourC = hottest(plant, run.image, 'vapour-temp').tempC;
  if (vapourC !== null && vapourC >= vapourThereC) return true;
  const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
  if (boilerC !== null) return boilerC >= lowestBubbleC(plant, run) - soonK;
  return vapourC === null;
}
