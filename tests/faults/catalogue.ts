import { alarmRules } from '../../lib/alarms';
import type { Plant } from '../../lib/engine/types';
import type { Case } from './case';
import { linkCases } from './cases-link';
import { probeCases } from './cases-probe';
import { stillCases } from './cases-still';

/** Everything the campaign does to a still. */
export const cases: readonly Case[] = [...probeCases, ...stillCases, ...linkCases];

/** Troubles that usually come along with others and take no sight away: they may come with anything. */
export const companions: readonly string[] = [
  'noise',
  'spike',
  'late',
  'reordered',
  'retained, marked',
  'link lost for a moment',
];

/** The time promised for a trouble on this still [s]; null where no rule promises one. */
export function promisedS(one: Case, plant: Plant): number | null {
  const times = alarmRules
    .filter((rule) => one.promisedBy.includes(rule.id) && rule.instances(plant).length > 0)
    .map(({ detectS }) => detectS);
  return times.length === 0 ? null : Math.min(...times);
}
