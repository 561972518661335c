import { trusted } from '../engine/reading';
import { condenses } from './condensing';
import { type AlarmRule, drivesOf, quiet, unknown, when } from './rule';

/** The coolant drive says it is off although it was told to be on, and vapour comes to the condenser. */
export const coolantNotOn: AlarmRule = {
  id: 'coolant-not-on',
  priority: 'critical',
  onDelayS: 5,
  offDelayS: 10,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  hazards: ['coolant-lost'],
  sees: ['drive-state'],
  detectS: 30,
  instances: (plant) => drivesOf(plant, 'coolant').filter((id) => plant.still.drives[id]?.reported !== undefined),
  judge: ({ plant, run, now, instance }) => {
    const memory = run.drives[instance];
    const point = plant.still.drives[instance]?.reported ?? '';
    if (memory === undefined || memory.value === 0 || now - memory.changedAtS < 10) return quiet;
    if (!condenses(plant, run)) return quiet;
    const reported = trusted(run.image[point]);
    return reported === null ? unknown : when(reported <= 0.02, 'coolant-not-on', { drive: instance });
  },
  example: {
    from: 'hearts',
    fires: ['drive coolant reports 0'],
    withinS: 20,
    clears: ['drive coolant reports 1'],
    clearsWithinS: 20,
  },
};
