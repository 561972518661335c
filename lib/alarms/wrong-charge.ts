import { hottest } from '../engine/hot';
import { chargeHeatOf } from './content';
import { movedBy } from './movement';
import { type AlarmContext, type AlarmRule, type AlarmVerdict, drivesOf, onceWith, quiet, when } from './rule';

/** The liquid alone holds more heat than this share of what was measured only if much of it is missing. */
const leastShare = 0.6;
const leastRiseK = 3;
const leastS = 60;

/** Span over which the heat must show in the boiler at all [s], by how much of what it should, and when that can be told [K]. */
const coldOverS = 270;
const coldShare = 0.08;
const coldShouldK = 4;

/**
 * The charge warms faster than that much liquid can: 60 L at 5 kW gain about 1.25 K a minute. The boiler is not filled,
 * or with far less than was said. Heat by heat: what was put in over how far it rose. Or it does not warm at all: the heat goes
 * into a bare element, or the probe hangs in the air.
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
  detectS: 360,
  instances: (plant) => (drivesOf(plant, 'heat').length > 0 ? onceWith('boiler-temp')(plant) : []),
  judge: (context) => {
    const { plant, run, watch, now } = context;
    const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
    const capacityJPerK = chargeHeatOf(plant);
    const cold = staysCold(context, boilerC, capacityJPerK);
    if (cold !== null) return cold;
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

/** Heated for minutes, and the boiler knows nothing of it; null where it does, or where that cannot be told. */
function staysCold(
  { plant, run, watch, now }: AlarmContext,
  boilerC: number | null,
  capacityJPerK: number | null,
): AlarmVerdict | null {
  const isWarming = run.phase === 'heat-up' || run.resume?.reheating === true;
  if (!isWarming || watch.heatSinceS === null || now - watch.heatSinceS < coldOverS + 60) return null;
  if (boilerC === null || capacityJPerK === null || boilerC > (watch.bubbleC ?? 80) - 8) return null;
  const { efficiency, lossW } = plant.still.boilUp;
  const recent = watch.samples.filter(({ atS }) => now - atS <= coldOverS);
  const meanW = recent.reduce((sum, { heatW }) => sum + heatW, 0) / Math.max(1, recent.length);
  const shouldK = (Math.max(0, meanW * efficiency - lossW) * coldOverS) / capacityJPerK;
  const riseK = movedBy(watch, 'boilerC', coldOverS);
  // A head that warms instead is a boiler probe in the wrong place, and has an alarm of its own.
  const headK = movedBy(watch, 'vapourC', coldOverS) ?? 0;
  if (riseK === null || shouldK < coldShouldK || Math.max(riseK, headK) >= coldShare * shouldK) return null;
  return when(true, 'charge-stays-cold', { riseK: Math.max(0, riseK), shouldK, overS: coldOverS });
}
