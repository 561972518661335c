import { powerOf } from '../engine/hot';
import { type AlarmRule, drivesOf, pointsOf, quiet, unknown, when } from './rule';

const mostShare = 0.15;

/** Far more or less power is drawn than was told: an element out of three, a wrong phase, a controller set by hand. */
export const heatMismatch: AlarmRule = {
  id: 'heat-mismatch',
  priority: 'medium',
  onDelayS: 60,
  offDelayS: 10,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['off-course'],
  sees: ['heat-power'],
  detectS: 90,
  instances: (plant) =>
    drivesOf(plant, 'heat').filter((id) =>
      pointsOf(plant, 'heat-power').some((point) => (plant.still.points[point]?.drive ?? id) === id),
    ),
  judge: ({ plant, run, now, instance }) => {
    const drive = plant.still.drives[instance];
    const memory = run.drives[instance];
    if (drive?.kind !== 'heat' || typeof memory?.value !== 'number' || memory.value === 0) return quiet;
    if (now - memory.changedAtS < 30) return quiet;
    const powerW = powerOf(plant, run.image, instance);
    if (powerW === null) return unknown;
    const toldW = memory.value * drive.ratedW;
    const off = Math.abs(powerW - toldW) > mostShare * drive.ratedW;
    return when(off, 'heat-mismatch', { drive: instance, powerW, toldW });
  },
  example: {
    from: 'hearts',
    fires: ['heat-power 2000'],
    withinS: 80,
    clears: ['heat-power follows'],
    clearsWithinS: 20,
  },
};
