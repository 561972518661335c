import { type AlarmRule, drivesOf, isUnderWay, quiet, when } from './rule';

/**
 * The heat has boiled off as much as the charge can give, whatever the meters say: a leak, a dead meter or a charge
 * that was never filled. Only where nothing of ours sends the distillate back, since reflux spends heat without emptying.
 */
export const energySpent: AlarmRule = {
  id: 'energy-spent',
  priority: 'critical',
  onDelayS: 5,
  offDelayS: 5,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['bare-element'],
  sees: ['heat-power', 'vapour-temp'],
  detectS: 600,
  instances: (plant) =>
    plant.still.kind === 'pot' && drivesOf(plant, 'heat').length > 0 && drivesOf(plant, 'take-off').length === 0
      ? ['']
      : [],
  judge: ({ plant, run, watch }) => {
    if (!isUnderWay(run) || plant.charge === null) return quiet;
    const { heelL } = plant.still;
    const limitL = plant.charge.volumeL - heelL;
    const numbers = { boiledL: watch.boiledL, limitL, heelL, collectedL: run.estimate.produced.volumeL };
    return when(watch.boiledL >= limitL, 'energy-spent', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['heat-power 12000', 'collected-volume rises 0.05 L/min', 'vapour-temp stays', 'boiler-temp stays'],
    withinS: 6500,
    clears: ['order stop'],
    clearsWithinS: 10,
  },
};
