import { meterHeardAtS, meterOf, powerOf, runOnS, vapourThereC } from '../engine/hot';
import { trusted } from '../engine/reading';
import type { Plant } from '../engine/types';
import { movedBy } from './movement';
import { type AlarmContext, type AlarmRule, type AlarmVerdict, drivesOf, quiet, when } from './rule';

const offShare = 0.05;
const overS = 180;
const leastRiseK = 1.5;
const warmC = 40;

/**
 * Heat goes on although it was told off: a welded relay, a stuck valve. By the power drawn or by what the drive says;
 * where nothing of the kind is fitted, by a boiler that goes on warming, or vapour that
 * goes on coming, long after.
 */
export const heatNotStopping: AlarmRule = {
  id: 'heat-not-stopping',
  priority: 'critical',
  onDelayS: 0,
  offDelayS: 5,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: true,
  hazards: ['heat-not-stopping'],
  sees: ['heat-power', 'drive-state', 'boiler-temp'],
  confirm: true,
  detectS: 15,
  detectsInS: (plant) => (isWatched(plant) ? 15 : 2 * overS + runOnS(plant) + 30),
  instances: (plant) =>
    drivesOf(plant, 'heat').filter((id) => {
      const drive = plant.still.drives[id];
      return drive?.kind === 'heat' && drive.source !== 'solid-fire';
    }),
  judge: (context) => {
    const { plant, run, now, instance, active } = context;
    const drive = plant.still.drives[instance];
    const memory = run.drives[instance];
    if (drive?.kind !== 'heat' || memory === undefined || memory.value !== 0) return quiet;
    const sinceS = now - memory.changedAtS;
    if (sinceS < drive.answerS) return quiet;
    const powerW = powerOf(plant, run.image, instance);
    if (powerW !== null) {
      // What a slow meter said before the drive could follow says nothing of it.
      const heardAtS = meterHeardAtS(plant, run.image, instance) ?? now;
      if (heardAtS - memory.changedAtS < drive.answerS && !active) return quiet;
      return when(powerW > offShare * drive.ratedW, 'heat-not-stopping', { drive: instance, powerW, sinceS });
    }
    const reported = drive.reported === undefined ? null : trusted(run.image[drive.reported]);
    if (reported !== null) return when(reported > 0.02, 'heat-not-stopping-reported', { drive: instance, sinceS });
    return byBoiler(context, sinceS);
  },
  example: {
    from: 'hearts',
    fires: ['drive heat welds', 'order hold'],
    withinS: 20,
    clears: ['drive heat moves'],
    clearsWithinS: 20,
  },
};

/** Whether every heat that can be told off has a meter or a report. */
function isWatched(plant: Plant): boolean {
  return drivesOf(plant, 'heat').every((id) => {
    return meterOf(plant, id) !== null || plant.still.drives[id]?.reported !== undefined;
  });
}

/** Nothing says what the heat does: long after it, the boiler still warms, or the vapour does not fail. */
function byBoiler({ plant, run, watch, instance, active }: AlarmContext, sinceS: number): AlarmVerdict {
  if (run.phase === 'idle' || sinceS < runOnS(plant) + overS) return quiet;
  const riseK = movedBy(watch, 'boilerC', overS);
  const last = watch.samples[watch.samples.length - 1];
  if (riseK === null || last === undefined || (last.boilerC ?? 0) < warmC) return quiet;
  const warms = riseK >= (active ? 0 : leastRiseK);
  const numbers = { drive: instance, riseK, overS, sinceS };
  if (warms) return when(true, 'heat-not-stopping-boiler', numbers);
  const vapourK = movedBy(watch, 'vapourC', overS);
  const boilsOn = vapourK !== null && (last.vapourC ?? 0) >= vapourThereC && vapourK > -1 && riseK > -0.3;
  return when(boilsOn, 'heat-not-stopping-vapour', { drive: instance, vapourC: last.vapourC, sinceS });
}
