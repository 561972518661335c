import { trusted } from '../engine/reading';
import type { PointKind } from '../still/schema';
import { type AlarmContext, type AlarmRule, type AlarmVerdict, pointsOf } from './rule';

/** A raw reading at or above its rating: fast protections act on raw readings. */
function judgeLimit(context: AlarmContext, limitC: number, code: string): AlarmVerdict {
  const tempC = trusted(context.run.image[context.instance]);
  const reason = { code, numbers: { point: context.instance, limitC, ...(tempC === null ? {} : { tempC }) } };
  if (tempC === null) return { on: null, reason };
  return { on: tempC >= (context.active ? limitC - 1 : limitC), reason };
}

function rule(id: string, kind: PointKind, limitOf: (context: AlarmContext) => number, hazards: string[]): AlarmRule {
  return {
    id,
    priority: 'critical',
    onDelayS: 3,
    offDelayS: 10,
    latched: true,
    interlock: 'heat-off',
    suppressedIn: [],
    wakes: true,
    hazards,
    instances: (plant) => pointsOf(plant, kind),
    judge: (context) => judgeLimit(context, limitOf(context), `alarm.${id}`),
    example: { fires: { [kind]: kind === 'vapour-temp' ? 103 : 109 }, clears: { [kind]: 80 } },
  };
}

export const vapourOverTemperature = rule(
  'vapour-over-temperature',
  'vapour-temp',
  (c) => c.plant.still.ratings.vapourTempMaxC,
  ['over-temperature'],
);

export const boilerOverTemperature = rule(
  'boiler-over-temperature',
  'boiler-temp',
  (c) => c.plant.still.ratings.boilerTempMaxC,
  ['over-temperature'],
);
