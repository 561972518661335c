import { airPressureLost } from './air-pressure-lost';
import { airPressureSeaLevel } from './air-pressure-sea-level';
import { dryBoil } from './dry-boil';
import { boilerOverTemperature, vapourOverTemperature } from './over-temperature';
import { probeLost } from './probe-lost';
import { receiverStuck } from './receiver-stuck';
import type { AlarmRule } from './rule';

/** Every alarm: one file each. Those with an interlock stand first, so that the first-out is the cause. */
export const alarmRules: readonly AlarmRule[] = [
  dryBoil,
  boilerOverTemperature,
  vapourOverTemperature,
  receiverStuck,
  probeLost,
  airPressureLost,
  airPressureSeaLevel,
];

/** The rule behind an alarm's name, e.g. `probe-lost:vapour`; null where there is none. */
export function ruleOfAlarm(id: string): AlarmRule | null {
  const name = id.split(':', 1)[0];
  return alarmRules.find((rule) => rule.id === name) ?? null;
}
