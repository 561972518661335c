import { meterHeardAtS, meterOf, powerOf } from '../engine/hot';
import { trusted } from '../engine/reading';
import { type AlarmContext, type AlarmRule, drivesOf, quiet, unknown, when } from './rule';

/** Shares below this come in long pulses on many controllers; their pauses are no fault. */
const leastShare = 0.5;
const patienceS = { element: 15, steam: 120, gas: 120, 'solid-fire': 0 } as const;

/**
 * Heat was told on and none comes: the device's own switch-off, a cut-out, a breaker, a burner that went out. Heat that
 * came back by itself would be heat nobody ordered, so this trips: only an order brings it back.
 */
export const heatNotComing: AlarmRule = {
  id: 'heat-not-coming',
  priority: 'high',
  onDelayS: 5,
  offDelayS: 5,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['link-lost', 'power-cut', 'over-temperature'],
  sees: ['heat-power', 'drive-state'],
  detectS: 30,
  instances: (plant) =>
    drivesOf(plant, 'heat').filter((id) => {
      const drive = plant.still.drives[id];
      const isWatched = meterOf(plant, id) !== null || drive?.reported !== undefined;
      return drive?.kind === 'heat' && drive.source !== 'solid-fire' && isWatched;
    }),
  judge: (context) => {
    const { plant, run, now, instance } = context;
    const drive = plant.still.drives[instance];
    const memory = run.drives[instance];
    if (drive?.kind !== 'heat' || typeof memory?.value !== 'number' || memory.value < leastShare) return quiet;
    if (now - memory.changedAtS < patienceS[drive.source]) return quiet;
    const comes = isComing(context, drive);
    return comes === null ? unknown : when(!comes, 'heat-not-coming', { drive: instance, ratedW: drive.ratedW });
  },
  example: {
    from: 'hearts',
    fires: ['heat-power 0'],
    withinS: 30,
    clears: ['heat-power follows'],
    clearsWithinS: 15,
  },
};

function isComing(
  { plant, run, instance }: AlarmContext,
  drive: { readonly ratedW: number; readonly answerS: number; readonly reported?: string | undefined },
): boolean | null {
  const powerW = powerOf(plant, run.image, instance);
  // What a slow meter said before the drive could follow says nothing of it.
  const heardAtS = meterHeardAtS(plant, run.image, instance) ?? run.now;
  if (powerW !== null && heardAtS - (run.drives[instance]?.changedAtS ?? 0) < drive.answerS) return null;
  if (powerW !== null) return powerW > 0.03 * drive.ratedW;
  const reported = drive.reported === undefined ? null : trusted(run.image[drive.reported]);
  return reported === null ? null : reported > 0.02;
}
