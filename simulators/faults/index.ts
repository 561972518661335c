export { createFaults, type Faults } from './injector';
export { type FaultName, faultNames, faultRules } from './rules';
export type { FaultContext, FaultPlan, FaultRule } from './types';
