import { type AlarmRule, isDistilling, isUnderWay, ownValue, pointsOf, quiet, unknown, when } from './rule';

const overK = 4;
const underK = 3;
const deadbandK = 1;

/**
 * The boiler is hotter or colder than what should be left in it boils at, by more than the count of the alcohol can be
 * wrong: a probe that drifts, a charge of another strength, a path that clogs.
 */
export const boilerUnlikely: AlarmRule = {
  id: 'boiler-unlikely',
  priority: 'medium',
  onDelayS: 120,
  offDelayS: 60,
  deadband: deadbandK,
  latched: false,
  interlock: null,
  suppressedIn: [],
  suppressedBy: ['boiler-above-bubble', 'probes-swapped', 'probes-impossible'],
  wakes: false,
  hazards: ['lying-probe', 'wrong-charge', 'blocked-path'],
  sees: ['boiler-temp', 'vapour-temp'],
  detectS: 1800,
  instances: (plant) => pointsOf(plant, 'boiler-temp'),
  judge: (context) => {
    const { run, watch, active } = context;
    if (!isUnderWay(run) || run.resume !== null || watch.bubbleC === null || watch.bubbleLowC === null) return quiet;
    if (!isDistilling(context, 300)) return quiet;
    const boilerC = ownValue(context);
    if (boilerC === null) return unknown;
    const ease = active ? deadbandK : 0;
    const highC = watch.bubbleC + overK - ease;
    const lowC = watch.bubbleLowC - underK + ease;
    const on = boilerC >= highC || boilerC <= lowC;
    return when(on, 'boiler-unlikely', {
      point: context.instance,
      boilerC,
      lowC: watch.bubbleLowC,
      highC: watch.bubbleC,
    });
  },
  example: {
    from: 'heads',
    fires: ['boiler-temp falls 6 K/min until 80.5'],
    withinS: 240,
    clears: ['boiler-temp rises 6 K/min until 88'],
    clearsWithinS: 240,
  },
};
