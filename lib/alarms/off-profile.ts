import { alcoholSharePercent } from '../cuts/alcohol-share';
import { isFraction } from '../engine/course';
import { referenceHPa } from '../engine/estimate';
import type { ProfilePoint } from '../engine/types';
import { shiftVapourTemp } from '../physics';
import { type AlarmRule, isAbove, onceWith, quiet, unknown, when } from './rule';

const limitK = 1;
const deadbandK = 0.3;
/** The first of the run is light heads and a front that settles: it is like no other run's [% come over]. */
const fromPercent = 3;
/** How far the share of one run may be off that of another: by the way to the spout, and by charge and count [% of itself]. */
const roomPercent = 1;
const roomOfShare = 0.04;

/**
 * The run does not follow the one its recipe came from: another charge, other heat, other reflux, or a lying probe. Compared on the share of the
 * alcohol come over, with room for what a share is told wrongly; ± 10 % of heat, ± 1 % vol and ± 0.3 K of probe stay within.
 */
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
    const band = sharePercent < fromPercent ? null : profileBand(profile, sharePercent);
    if (band === null) return quiet;
    const isC = shiftVapourTemp(vapourTempC, pressure.medianHPa, referenceHPa(plant));
    const outsideK = Math.max(isC - band.highC, band.lowC - isC);
    const on = isAbove(outsideK, limitK, deadbandK, active);
    return when(on, 'off-profile', { sharePercent, isC, wasC: band.wasC, apartK: isC - band.wasC });
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

/** What the reference run showed at a share and about it [°C]; null beyond its points. */
export function profileBand(
  profile: readonly ProfilePoint[],
  sharePercent: number,
): { readonly wasC: number; readonly lowC: number; readonly highC: number } | null {
  const wasC = profileAt(profile, sharePercent);
  if (wasC === null) return null;
  const room = roomPercent + roomOfShare * sharePercent;
  const ends = [profileAt(profile, sharePercent - room), profileAt(profile, sharePercent + room)];
  let [lowC, highC] = [wasC, wasC];
  const widen = (tempC: number) => {
    lowC = Math.min(lowC, tempC);
    highC = Math.max(highC, tempC);
  };
  for (const end of ends) if (end !== null) widen(end);
  for (const point of profile) if (Math.abs(point.sharePercent - sharePercent) <= room) widen(point.vapourTempC);
  return { wasC, lowC, highC };
}
