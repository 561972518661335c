import { hottest } from '../engine/hot';
import { chargeHeatOf } from './content';
import { type AlarmRule, drivesOf, onceWith, quiet, when } from './rule';

const mostShare = 2.2;
const leastS = 600;

/** The charge warms far slower than its heat should make it: heat that does not arrive, more charge than said, or a lying probe. */
export const heatUpSlow: AlarmRule = {
  id: 'heat-up-slow',
  priority: 'medium',
  onDelayS: 30,
  offDelayS: 30,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['wrong-charge', 'off-course', 'lying-probe'],
  sees: ['boiler-temp'],
  detectS: 900,
  instances: (plant) => (drivesOf(plant, 'heat').length > 0 ? onceWith('boiler-temp')(plant) : []),
  judge: ({ plant, run, watch, now }) => {
    const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
    const capacityJPerK = chargeHeatOf(plant);
    if (watch.heatUp === null || boilerC === null || capacityJPerK === null || plant.charge === null) return quiet;
    const overS = now - watch.heatUp.atS;
    if (overS < leastS || boilerC > (watch.bubbleC ?? 80) - 6) return quiet;
    const givenJ = run.estimate.produced.energyJ - watch.heatUp.energyJ - plant.still.boilUp.lossW * overS;
    const shouldK = givenJ / capacityJPerK;
    const riseK = Math.max(0, boilerC - watch.heatUp.tempC);
    return when(shouldK >= 4 && riseK * mostShare < shouldK, 'heat-up-slow', { riseK, shouldK, overS });
  },
  example: {
    from: 'heat-up',
    fires: ['boiler-temp rises 0.2 K/min until 70'],
    withinS: 1200,
    clears: ['order stop'],
    clearsWithinS: 40,
  },
};
