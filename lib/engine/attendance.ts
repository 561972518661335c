import { trusted } from './reading';
import type { Image, Input, Plant, Run } from './types';

/**
 * When somebody last answered at the still: an attendance point that goes from 0 to 1. A button held down, or stuck,
 * counts once.
 */
export function followAttendance(plant: Plant, run: Run, before: Image, input: Input): Run['attendedAtS'] {
  let attendedAtS = run.attendedAtS;
  for (const id in plant.still.points) {
    if (plant.still.points[id]?.kind !== 'attendance') continue;
    let pressed = (trusted(before[id]) ?? 0) >= 0.5;
    for (const reading of input.readings) {
      if (reading.point !== id || reading.value === null || reading.fault !== undefined) continue;
      const now = reading.value >= 0.5;
      if (now && !pressed) attendedAtS = input.now;
      pressed = now;
    }
  }
  return attendedAtS;
}
