import { hottest } from '../engine/hot';
import { type AlarmRule, onceWith, quiet, when } from './rule';

const limitS = { pot: 600, column: 1500 } as const;

/** The boiler has reached its boiling point and gone on being heated, but no vapour comes to the head: it goes elsewhere. */
export const noVapour: AlarmRule = {
  id: 'no-vapour',
  priority: 'critical',
  onDelayS: 5,
  offDelayS: 5,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['blocked-path', 'vapour-leak', 'wrong-charge', 'lying-probe'],
  sees: ['boiler-temp', 'vapour-temp'],
  detectS: 660,
  instances: onceWith('boiler-temp', 'vapour-temp'),
  judge: ({ plant, run, watch }) => {
    const limit = limitS[plant.still.kind];
    if (watch.boilingBlindS < limit) return quiet;
    const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
    const vapourC = hottest(plant, run.image, 'vapour-temp').tempC;
    return when(true, 'no-vapour', { boilerC, bubbleC: watch.bubbleC, vapourC, sinceS: watch.boilingBlindS });
  },
  example: {
    from: 'heat-up',
    fires: ['vapour-temp 31'],
    withinS: 5000,
    clears: ['order stop'],
    clearsWithinS: 10,
  },
};
