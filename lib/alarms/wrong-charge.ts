import { hottest } from '../engine/hot';
import { chargeHeatOf } from './content';
import { type AlarmRule, drivesOf, onceWith, quiet, when } from './rule';

/** The liquid alone holds more heat than this share of what was measured only if much of it is missing. */
const leastShare = 0.6;
const leastRiseK = 3;
const leastS = 60;

/**
 * The charge warms faster than that much liquid can: 60 L at 5 kW gain about 1.25 K a minute. The boiler is not filled,
 * or with far less than was said. Heat by heat: what was put in over how far it rose.
 */
export const wrongCharge: AlarmRule = {
  id: 'wrong-charge',
  priority: 'critical',
  onDelayS: 10,
  offDelayS: 30,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['wrong-charge', 'bare-element'],
  sees: ['boiler-temp'],
  detectS: 240,
  instances: (plant) => (drivesOf(plant, 'heat').length > 0 ? onceWith('boiler-temp')(plant) : []),
  judge: ({ plant, run, watch, now }) => {
    const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
    const capacityJPerK = chargeHeatOf(plant);
    if (watch.heatUp === null || boilerC === null || capacityJPerK === null || plant.charge === null) return quiet;
    const riseK = boilerC - watch.heatUp.tempC;
    const overS = now - watch.heatUp.atS;
    if (overS < leastS || riseK < leastRiseK || boilerC > (watch.bubbleC ?? 80) - 6) return quiet;
    const givenJ = run.estimate.produced.energyJ - watch.heatUp.energyJ;
    const share = givenJ / riseK / capacityJPerK;
    const numbers = {
      riseKPerMin: (riseK / overS) * 60,
      likelyL: plant.charge.volumeL * share,
      chargeL: plant.charge.volumeL,
    };
    return when(share < leastShare, 'wrong-charge', numbers);
  },
  example: {
    from: 'heat-up',
    fires: ['boiler-temp rises 5 K/min until 75'],
    withinS: 180,
    clears: ['order stop'],
    clearsWithinS: 40,
  },
};
