import { airPressureLost } from './air-pressure-lost';
import { airPressureSeaLevel } from './air-pressure-sea-level';
import { attendanceDue, nobodyThere } from './attendance';
import { blind } from './blind';
import { boilerAboveBubble } from './boiler-above-bubble';
import { boilerOverPressure, boilerPressureHigh } from './boiler-pressure';
import { boilerRisesVapourFalls } from './boiler-rises-vapour-falls';
import { boilerRisingFast } from './boiler-rising-fast';
import { boilerUnlikely } from './boiler-unlikely';
import { chargeRunningLow } from './charge-running-low';
import { chargeSpent } from './charge-spent';
import { chargeStrong } from './charge-strong';
import { coolantFlowLost } from './coolant-flow-lost';
import { coolantMissing } from './coolant-missing';
import { coolantNotOn } from './coolant-not-on';
import { driveMismatch } from './drive-mismatch';
import { dryBoil } from './dry-boil';
import { dryBoilSigns } from './dry-boil-signs';
import { elementBare } from './element-bare';
import { elementOverTemperature } from './element-over-temperature';
import { energySpent } from './energy-spent';
import { heatMismatch } from './heat-mismatch';
import { heatNotComing } from './heat-not-coming';
import { heatNotStopping } from './heat-not-stopping';
import { heatUpSlow } from './heat-up-slow';
import { levelLow } from './level-low';
import { noDrip } from './no-drip';
import { noVapour } from './no-vapour';
import { offProfile } from './off-profile';
import { boilerOverTemperature, vapourOverTemperature } from './over-temperature';
import { probeJumped } from './probe-jumped';
import { probeLost } from './probe-lost';
import { probePowerOn } from './probe-power-on';
import { probeStuck } from './probe-stuck';
import { probesDisagree } from './probes-disagree';
import { probesImpossible } from './probes-impossible';
import { probesSwapped } from './probes-swapped';
import { productHot, productWarm } from './product-temperature';
import { protectionLost } from './protection-lost';
import { puking } from './puking';
import { receiverClosed } from './receiver-closed';
import { receiverLeaking } from './receiver-leaking';
import { receiverNearlyFull, receiverOverflow } from './receiver-overflow';
import { receiverStuck } from './receiver-stuck';
import type { AlarmRule } from './rule';
import { scanLate, scanStopped } from './scan-gap';
import { scorching } from './scorching';
import { phaseTooLong, runTooLong } from './too-long';
import { vacuum } from './vacuum';
import { vapourFailing } from './vapour-failing';
import { vapourLeak } from './vapour-leak';
import { wrongCharge } from './wrong-charge';

/**
 * Every alarm: one file each. Those that take the heat off stand first, the quickest and plainest before those that
 * infer, so that the first-out is the cause; those that silence others stand before them.
 */
export const alarmRules: readonly AlarmRule[] = [
  vapourLeak,
  heatNotStopping,
  boilerOverPressure,
  vacuum,
  elementOverTemperature,
  elementBare,
  levelLow,
  dryBoil,
  boilerOverTemperature,
  vapourOverTemperature,
  coolantNotOn,
  coolantFlowLost,
  productHot,
  receiverClosed,
  receiverStuck,
  receiverOverflow,
  scanStopped,
  blind,
  heatNotComing,
  wrongCharge,
  chargeSpent,
  energySpent,
  boilerAboveBubble,
  boilerRisingFast,
  boilerRisesVapourFalls,
  vapourFailing,
  dryBoilSigns,
  noDrip,
  noVapour,
  protectionLost,
  nobodyThere,
  scorching,
  puking,
  boilerPressureHigh,
  productWarm,
  coolantMissing,
  probesSwapped,
  probesImpossible,
  probesDisagree,
  boilerUnlikely,
  probePowerOn,
  probeJumped,
  probeStuck,
  probeLost,
  driveMismatch,
  heatMismatch,
  receiverLeaking,
  receiverNearlyFull,
  chargeStrong,
  chargeRunningLow,
  heatUpSlow,
  phaseTooLong,
  runTooLong,
  attendanceDue,
  offProfile,
  airPressureSeaLevel,
  airPressureLost,
  scanLate,
];

const byId = new Map(alarmRules.map((rule) => [rule.id, rule]));

/** The rule behind an alarm's name, e.g. `probe-lost:vapour`; null where there is none. */
export function ruleOfAlarm(id: string): AlarmRule | null {
  return byId.get(id.split(':', 1)[0] ?? '') ?? null;
}
