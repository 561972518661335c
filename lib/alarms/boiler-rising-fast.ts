import { heatNow } from '../engine/produced';
import { chargeHeatOf, leftL } from './content';
import { movedBy } from './movement';
import { type AlarmRule, isDistilling, onceWith, quiet, when } from './rule';

const overS = 120;
const leastK = 5;

/**
 * A boiling liquid hardly warms: what the heat gives goes off as vapour. A boiler probe that climbs like this while the
 * still distils hangs in vapour that nothing cools. Not while a held run comes back, for then the liquid does warm.
 */
export const boilerRisingFast: AlarmRule = {
  id: 'boiler-rising-fast',
  priority: 'critical',
  onDelayS: 10,
  offDelayS: 60,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['bare-element'],
  sees: ['boiler-temp'],
  detectS: 150,
  instances: onceWith('boiler-temp', 'vapour-temp'),
  judge: (context) => {
    const { plant, run, watch } = context;
    if (run.resume !== null || !isDistilling(context, 180)) return quiet;
    const riseK = movedBy(watch, 'boilerC', overS);
    if (riseK === null || riseK < leastK) return quiet;
    const limitK = Math.max(leastK, 1.5 * warmingK(context));
    return when(riseK >= limitK, 'boiler-rising-fast', { riseK, overS, limitK, leftL: leftL(plant, run) });
  },
  example: {
    from: 'hearts',
    fires: ['boiler-temp rises 3.4 K/min until 91.2'],
    withinS: 180,
    clears: ['boiler-temp 92'],
    clearsWithinS: 120,
  },
};

/** What the heat would warm the liquid that is left by in the same time, if none of it boiled [K]. */
function warmingK({ plant, run }: Parameters<AlarmRule['judge']>[0]): number {
  const capacityJPerK = chargeHeatOf(plant);
  const left = leftL(plant, run);
  if (capacityJPerK === null || left === null || plant.charge === null) return 0;
  const share = Math.max(left, plant.still.heelL) / plant.charge.volumeL;
  return (heatNow(plant, run, run.image) * overS) / Math.max(1, capacityJPerK * share);
}
