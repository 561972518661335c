import type { PointKind } from '../still/schema';
import { type AlarmContext, type AlarmRule, isAbove, ownValue, pointsOf, unknown, when } from './rule';

const deadbandK = 1;

/** A raw reading at or above its rating: fast protections act on raw readings, two in a row. */
function rule(id: string, kind: PointKind, limitOf: (context: AlarmContext) => number, firesAtC: number): AlarmRule {
  return {
    id,
    priority: 'critical',
    onDelayS: 3,
    offDelayS: 10,
    deadband: deadbandK,
    latched: true,
    interlock: 'heat-off',
    suppressedIn: [],
    wakes: false,
    confirm: true,
    hazards: ['over-temperature'],
    sees: [kind],
    detectS: 5,
    instances: (plant) => pointsOf(plant, kind),
    judge: (context) => {
      const tempC = ownValue(context);
      if (tempC === null) return unknown;
      const limitC = limitOf(context);
      const numbers = { point: context.instance, tempC, limitC };
      return when(isAbove(tempC, limitC, deadbandK, context.active), id, numbers);
    },
    example: {
      from: 'hearts',
      fires: [`${kind} ${firesAtC}`],
      withinS: 10,
      clears: [`${kind} 80`],
      clearsWithinS: 15,
    },
  };
}

export const vapourOverTemperature = rule(
  'vapour-over-temperature',
  'vapour-temp',
  (context) => context.plant.still.ratings.vapourTempMaxC,
  103,
);

export const boilerOverTemperature = rule(
  'boiler-over-temperature',
  'boiler-temp',
  (context) => context.plant.still.ratings.boilerTempMaxC,
  109,
);
