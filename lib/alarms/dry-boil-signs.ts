import { hottest } from '../engine/hot';
import { valueOfKind } from '../engine/image';
import { waterBoilingPointC } from '../physics';
import { boilerPressureHPa, leftL } from './content';
import { isHeatSteady, movedBy } from './movement';
import { type AlarmContext, type AlarmRule, drivesOf, isDistilling, isUnderWay, quiet } from './rule';

/** Each sign on its own is too weak to act on; two of different kinds are not. */
const enough = 2;

/**
 * Dry boil by several weak signs at once: skin, level, what is left, boiler temperature, movement. Each of them shows
 * long before its own limit; two that share no probe and no assumption take the heat off.
 */
export const dryBoilSigns: AlarmRule = {
  id: 'dry-boil-signs',
  priority: 'critical',
  onDelayS: 20,
  offDelayS: 30,
  deadband: 0,
  latched: true,
  interlock: 'heat-off',
  suppressedIn: [],
  wakes: false,
  hazards: ['bare-element'],
  sees: ['element-temp', 'boiler-level', 'boiler-temp', 'vapour-temp', 'collected-volume'],
  detectS: 90,
  instances: (plant) => (drivesOf(plant, 'heat').length > 0 ? [''] : []),
  judge: (context) => {
    const { run, watch, active } = context;
    if (!isUnderWay(run) || (watch.heatSinceS === null && !active)) return quiet;
    const signs = signsOf(context);
    if (signs.length < enough) return quiet;
    const because = signs.map((sign) => ({ code: `alarm.sign-${sign}`, numbers: {} }));
    return { on: true, reason: { code: 'alarm.dry-boil-signs', numbers: { signs: signs.length }, because } };
  },
  example: {
    from: 'hearts',
    fires: ['element-temp rises 0.5 K/s until 116', 'boiler-level 0.18'],
    withinS: 110,
    clears: ['element-temp 96', 'boiler-level 0.6'],
    clearsWithinS: 40,
  },
};

function signsOf(context: AlarmContext): string[] {
  const signs: string[] = [];
  if (isSkinHot(context)) signs.push('skin');
  if (isLevelNear(context)) signs.push('level');
  if (isLittleLeft(context)) signs.push('left');
  if (isBoilerHot(context)) signs.push('boiler');
  if (isMovingWrong(context)) signs.push('movement');
  return signs;
}

function isSkinHot({ plant, run }: AlarmContext): boolean {
  const skinC = hottest(plant, run.image, 'element-temp').tempC;
  const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
  if (skinC === null) return false;
  const { elementTempAlarmC, elementOverLiquidMaxK } = plant.still.ratings;
  return skinC >= elementTempAlarmC || (boilerC !== null && skinC - boilerC >= 0.6 * elementOverLiquidMaxK);
}

function isLevelNear({ plant, run }: AlarmContext): boolean {
  const level = valueOfKind(plant, run.image, 'boiler-level');
  return level !== null && level * plant.still.boilerVolumeL <= 1.15 * plant.still.heelL;
}

function isLittleLeft({ plant, run, watch }: AlarmContext): boolean {
  const left = leftL(plant, run);
  if (left === null || plant.charge === null) return false;
  if (left <= 1.15 * plant.still.heelL) return true;
  const boilsAway = plant.still.kind === 'pot' && drivesOf(plant, 'take-off').length === 0;
  return boilsAway && watch.boiledL >= 0.9 * (plant.charge.volumeL - plant.still.heelL);
}

function isBoilerHot({ plant, run, watch }: AlarmContext): boolean {
  const boilerC = hottest(plant, run.image, 'boiler-temp').tempC;
  if (boilerC === null) return false;
  if (watch.bubbleC !== null && boilerC >= watch.bubbleC + 5) return true;
  const measuredHPa = valueOfKind(plant, run.image, 'boiler-pressure');
  const pressureHPa = boilerPressureHPa(run, measuredHPa ?? plant.still.ratings.boilerPressureMaxHPa);
  return boilerC >= waterBoilingPointC(pressureHPa) + 2.5;
}

function isMovingWrong(context: AlarmContext): boolean {
  const { plant, run, watch } = context;
  if (run.resume !== null || !isDistilling(context, 300)) return false;
  const riseK = movedBy(watch, 'boilerC', 120) ?? 0;
  if (riseK >= 3) return true;
  if (plant.still.kind !== 'pot' || !isHeatSteady(watch, 210)) return false;
  return (movedBy(watch, 'boilerC', 180) ?? 0) >= 1 && (movedBy(watch, 'vapourC', 180) ?? 0) <= -1.2;
}
