import { receiverVolumeL, roomL, runOnL } from '../engine/receiver-room';
import { openReceivers } from '../engine/receivers';
import type { Plant, Run } from '../engine/types';
import { type AlarmRule, quiet, when } from './rule';

/** Receivers the distillate runs into now. */
function takesNow(plant: Plant, run: Run, receiver: string): boolean {
  return run.phase !== 'idle' && plant.still.receivers[receiver] !== undefined && openReceivers(run).includes(receiver);
}

/** What comes over after heat off would no longer fit. The heat goes off while it still does. */
export const receiverOverflow: AlarmRule = {
  id: 'receiver-overflow',
  priority: 'critical',
  onDelayS: 5,
  offDelayS: 10,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  hazards: ['overflow'],
  sees: ['receiver-volume', 'collected-volume', 'product-flow', 'vapour-temp'],
  detectS: 70,
  instances: (plant) => Object.keys(plant.still.receivers),
  judge: ({ plant, run, instance, active }) => {
    if (!takesNow(plant, run, instance)) return quiet;
    const room = roomL(plant, run, instance) ?? 0;
    const capacityL = plant.still.receivers[instance]?.capacityL ?? 0;
    const leastL = active ? Math.max(runOnL(plant, run), 0.1 * capacityL) : runOnL(plant, run);
    const numbers = {
      receiver: instance,
      volumeL: receiverVolumeL(plant, run, instance),
      capacityL,
      runOnL: runOnL(plant, run),
    };
    return when(room <= leastL, 'receiver-overflow', numbers);
  },
  example: {
    from: 'hearts',
    fires: ['feints-volume 29.8', 'hearts-volume 24.99'],
    withinS: 30,
    clears: ['hearts-volume 2'],
    clearsWithinS: 30,
  },
};

/** Ten minutes, or a tenth of it, before it is full. */
export const receiverNearlyFull: AlarmRule = {
  id: 'receiver-nearly-full',
  priority: 'medium',
  onDelayS: 10,
  offDelayS: 10,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: ['idle', 'cool-down'],
  wakes: false,
  hazards: ['overflow'],
  sees: ['receiver-volume', 'collected-volume', 'product-flow', 'vapour-temp'],
  detectS: 70,
  instances: (plant) => Object.keys(plant.still.receivers),
  judge: ({ plant, run, instance, active }) => {
    if (!takesNow(plant, run, instance)) return quiet;
    const room = roomL(plant, run, instance) ?? 0;
    const { rateLPerH } = run.estimate.produced;
    const capacityL = plant.still.receivers[instance]?.capacityL ?? 0;
    const nearL = Math.max(0.1 * capacityL, rateLPerH / 6) + (active ? 0.02 * capacityL : 0);
    const volumeL = receiverVolumeL(plant, run, instance);
    return when(room <= nearL, 'receiver-nearly-full', { receiver: instance, volumeL, capacityL, rateLPerH });
  },
  example: {
    from: 'hearts',
    fires: ['hearts-volume 23'],
    withinS: 30,
    clears: ['hearts-volume 2'],
    clearsWithinS: 30,
  },
};
