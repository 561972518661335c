import { blockedPath } from './blocked-path';
import { coolantLost } from './coolant-lost';
import { drift } from './drift';
import { dropout } from './dropout';
import { elementExposed } from './element-exposed';
import { fullReceiver } from './full-receiver';
import { late } from './late';
import { leak } from './leak';
import { linkLost } from './link-lost';
import { lostCommand } from './lost-command';
import { noise } from './noise';
import { notANumber } from './not-a-number';
import { powerDip } from './power-dip';
import { puking } from './puking';
import { relayWelded } from './relay-welded';
import { reordered } from './reordered';
import { retained } from './retained';
import { scorching } from './scorching';
import { spike } from './spike';
import { stuckProbe } from './stuck-probe';
import { swappedProbes } from './swapped-probes';
import type { FaultRule } from './types';
import { valveStuck } from './valve-stuck';
import { wrongPressure } from './wrong-pressure';

export { createFaults, type Faults } from './injector';
export type { FaultContext, FaultPlan, FaultRule } from './types';

/** Every fault that can be injected, by name. A new one is a file beside this and a line here. */
export const faultRules = {
  'stuck-probe': stuckProbe,
  spike,
  dropout,
  drift,
  noise,
  'not-a-number': notANumber,
  'swapped-probes': swappedProbes,
  late,
  reordered,
  retained,
  'coolant-lost': coolantLost,
  'relay-welded': relayWelded,
  'valve-stuck': valveStuck,
  'lost-command': lostCommand,
  'blocked-path': blockedPath,
  'element-exposed': elementExposed,
  'full-receiver': fullReceiver,
  'wrong-pressure': wrongPressure,
  'power-dip': powerDip,
  'link-lost': linkLost,
  leak,
  puking,
  scorching,
} as const satisfies Record<string, FaultRule>;

export type FaultName = keyof typeof faultRules;

export const faultNames = Object.keys(faultRules) as readonly FaultName[];
