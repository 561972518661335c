import { hottest } from '../engine/hot';
import { bubbleTempC, moleFractionFromAbv } from '../physics';
import { type AlarmRule, quiet, when } from './rule';

/** Confirm above 35 % vol; nothing is charged above 40 % vol, whose flash point is 26 °C. */
const confirmAbv = 0.35;
const refuseMoleFraction = moleFractionFromAbv(0.4);
const marginK = 1.5;

/** The charge is stronger than usual, or boils lower than the strongest that may be charged. */
export const chargeStrong: AlarmRule = {
  id: 'charge-strong',
  priority: 'high',
  onDelayS: 0,
  offDelayS: 0,
  deadband: 0,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['wrong-charge'],
  sees: ['boiler-temp', 'vapour-temp'],
  detectS: 120,
  instances: () => [''],
  judge: ({ plant, run, watch, now, active }) => {
    if (plant.charge === null || run.state !== 'running' || run.step < 0) return quiet;
    const stated = plant.charge.strengthAbv;
    if (stated > confirmAbv && run.phase === 'heat-up') {
      return when(true, 'charge-strong', { chargeVolPercent: 100 * stated, limitVolPercent: 100 * confirmAbv });
    }
    const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
    const pressureHPa = run.estimate.pressure.medianHPa;
    const sinceS = watch.vapourSinceS === null ? 0 : now - watch.vapourSinceS;
    if (boilerC === null || pressureHPa === null || watch.heatSinceS === null || sinceS < 60) return quiet;
    if (sinceS > 900 && !active) return quiet;
    const lowestC = bubbleTempC(refuseMoleFraction, pressureHPa);
    return when(boilerC < lowestC - marginK, 'charge-boils-low', { boilerC, lowestC, pressureHPa });
  },
  example: {
    from: 'heads',
    fires: ['boiler-temp falls 30 K/min until 79.5'],
    withinS: 120,
    clears: ['boiler-temp rises 30 K/min until 87'],
    clearsWithinS: 60,
  },
};
