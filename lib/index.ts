/** Middlecut as a library: the engine, its documents, the physics and the trade's arithmetic. */

export { alarmRules, ruleOfAlarm } from './alarms';
export { type AlarmFigures, alarmFigures } from './alarms/figures';
export { type HostAlarm, type HostAlarmName, hostAlarms } from './alarms/host';
export { type AlarmState, alarmNormal, alarmState, alarmsOf, isAnnounced, stepAlarm } from './alarms/life-cycle';
export { type AlarmRule, type Hazard, hazards } from './alarms/rule';
export * as compare from './compare';
export { type Controller, createController } from './engine/controller';
export { carryOver, freshRun, rebuilt } from './engine/fresh';
export { compilePlant, watchPlant } from './engine/plant';
export { scan } from './engine/scan';
export type * from './engine/types';
export * as jars from './jars';
export * from './physics';
export { type Checked, type Problem, parseDocument, showProblem } from './problems';
export { checkRecipe } from './recipe/check';
export type { Recipe, RecipeDocument } from './recipe/schema';
export { type Condition, type CutTest, conditionSchema, recipeSchema } from './recipe/schema';
export { asVariant } from './recipe/variant';
export { type Log, parseLog } from './replay/log';
export { phaseChanges, replayLog } from './replay/replay';
export { checkStill } from './still/check';
export { type Cover, coverageOf, type Detector, type HazardCover } from './still/coverage';
export type { Still, StillDocument } from './still/schema';
export { pointKinds, stillSchema } from './still/schema';
export * from './words';
