import { alcoholSharePercent } from '../cuts/alcohol-share';
import { isFraction } from '../engine/course';
import { referenceHPa } from '../engine/estimate';
import type { ProfilePoint } from '../engine/types';
import { shiftVapourTemp } from '../physics';
import { type AlarmRule, isAbove, onceWith, quiet, unknown, when } from './rule';

const limitK = 1.5;
const deadbandK = 0.5;

/** The run does not follow the one its recipe came from: another charge, other heat, other reflux, or a lying probe. */
export const offProfile: AlarmRule = {
  id: 'off-profile',
  priority: 'low',
  onDelayS: 300,
  offDelayS: 60,
  deadband: deadbandK,
  latched: false,
  interlock: null,
  suppressedIn: [],
  wakes: false,
  hazards: ['off-course', 'lying-probe'],
  sees: ['vapour-temp'],
  detectS: 360,
  instances: onceWith('vapour-temp'),
  judge: ({ plant, run, active }) => {
    const { profile } = plant;
    if (profile === undefined || !isFraction(run.phase) || run.state !== 'running' || run.resume !== null) return quiet;
    const { vapourTempC, pressure, produced } = run.estimate;
    const sharePercent = alcoholSharePercent(plant.charge, produced.alcoholL);
    if (sharePercent === null || vapourTempC === null || pressure.medianHPa === null) return unknown;
    const wasC = profileAt(profile, sharePercent);
    if (wasC === null) return quiet;
    const isC = shiftVapourTemp(vapourTempC, pressure.medianHPa, referenceHPa(plant));
    const apartK = isC - wasC;
    const on = isAbove(Math.abs(apartK), limitK, deadbandK, active);
    return when(on, 'off-profile', { sharePercent, isC, wasC, apartK });
  },
  example: {
    from: 'hearts',
    fires: ['vapour-temp falls 0.5 K/min until 80.2'],
    withinS: 900,
    clears: ['vapour-temp follows'],
    clearsWithinS: 600,
  },
};

/** Vapour temperature of the reference run at a share, between its points [°C]; null beyond them. */
export function profileAt(profile: readonly ProfilePoint[], sharePercent: number): number | null {
  const after = profile.findIndex((point) => point.sharePercent >= sharePercent);
  const to = profile[after];
  const from = profile[after - 1];
  if (to === undefined) return null;
  if (from === undefined) return to.sharePercent === sharePercent ? to.vapourTempC : null;
  const part = (sharePercent - from.sharePercent) / Math.max(1e-9, to.sharePercent - from.sharePercent);
  return from.vapourTempC + part * (to.vapourTempC - from.vapourTempC);
}
