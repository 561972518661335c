import { type AlarmRule, isAbove, isUnderWay, ownValue, pointsOf, quiet, unknown, when } from './rule';

/** Solids, sugar and back-pressure raise the boiling point by less than this [K]. */
const marginK = 8;
const deadbandK = 2;

/**
 * The boiler is hotter than what should be left in it can boil at: a weaker charge than stated, a blocked path that
 * raises the pressure, too little liquid, or a lying probe. Blunt late in a run, where the charge boils like water anyway.
 */
export const boilerAboveBubble: AlarmRule = {
  id: 'boiler-above-bubble',
  priority: 'critical',
  onDelayS: 20,
  offDelayS: 30,
  deadband: deadbandK,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  confirm: true,
  hazards: ['bare-element', 'wrong-charge', 'blocked-path', 'lying-probe'],
  sees: ['boiler-temp'],
  detectS: 60,
  instances: (plant) => pointsOf(plant, 'boiler-temp'),
  judge: (context) => {
    const { run, watch, active } = context;
    if (!isUnderWay(run) || watch.bubbleC === null) return quiet;
    if (watch.heatSinceS === null && !active) return quiet;
    const boilerC = ownValue(context);
    if (boilerC === null) return unknown;
    const limitC = watch.bubbleC + marginK;
    const numbers = { point: context.instance, boilerC, bubbleC: watch.bubbleC, limitC };
    return when(isAbove(boilerC, limitC, deadbandK, active), 'boiler-above-bubble', numbers);
  },
  example: {
    from: 'heads',
    fires: ['boiler-temp 97.5'],
    withinS: 40,
    clears: ['boiler-temp 86'],
    clearsWithinS: 50,
  },
};
