import type { Plant } from '../../lib/engine/types';
import { createRig } from '../../simulators/rig';
import { plantOfScenario } from '../../simulators/run-scenario';
import type { Scenario } from '../../simulators/scenarios';
import { commandedHeat, skinC } from './case';
import { dryBoilRules } from './cases-still';
import { createEngine, removeAlarms } from './engine';
import { courseOf, putBack, specOfCourse } from './moments';
import { campaignStills } from './stills';

/** Ways in which a boiler comes to be dry. */
export const dryings = ['drained slowly', 'drained fast', 'boiled away'] as const;
export type Drying = (typeof dryings)[number];

const drainLPerH: Readonly<Record<Drying, number>> = { 'drained slowly': 400, 'drained fast': 3000, 'boiled away': 0 };

/** How one detector of a dry boil does with all others taken out. */
export interface DetectorAlone {
  readonly rule: string;
  readonly drying: Drying;
  /** From the moment when only a fifth of the element is covered [s], below 0 before it; null where the heat stayed on. */
  readonly heatOffAfterS: number | null;
  /** It was never bare at all. */
  readonly isCovered: boolean;
  /** The hottest its skin came [°C], and the limit. */
  readonly skinC: number;
  readonly limitC: number;
}

export const detectorTasks: readonly { readonly rule: string; readonly drying: Drying }[] = dryBoilRules.flatMap(
  (rule) => dryings.map((drying) => ({ rule, drying })),
);

/** The pot of the campaign; where it is boiled away, with tails that no temperature ends. */
function scenarioOf(drying: Drying): Scenario {
  const { pot } = campaignStills;
  if (drying !== 'boiled away') return pot;
  const phases = pot.recipe.phases.map((phase) =>
    phase.phase === 'tails' ? { ...phase, endsWhen: { test: 'vapour-temp', atLeastC: 105 } as const } : phase,
  );
  return { ...pot, recipe: { ...pot.recipe, phases } };
}

function plantFor(rule: string, drying: Drying): Plant {
  const plant = plantOfScenario(scenarioOf(drying), specOfCourse('pot', 0));
  removeAlarms(plant, (id, hazards) => id !== rule && (hazards.includes('bare-element') || akin.includes(id)));
  return plant;
}

/** Rules that would take the heat off for another reason once the boiler is empty. */
const akin = ['scorching', 'boiler-unlikely', 'probes-impossible', 'protection-lost', 'probe-stuck', 'heat-not-coming'];

/** Lets the boiler of the orchard pot go dry until the element is bare, with one rule left to notice. */
export function runDetectorAlone(rule: string, drying: Drying): DetectorAlone {
  const plant = plantFor(rule, drying);
  const isBoiled = drying === 'boiled away';
  const course = courseOf('pot', 0);
  const moment = course.moments.findLast(({ phase }) => phase === (isBoiled ? 'tails' : 'hearts'));
  if (moment === undefined) throw new Error('assertion: the pot has no such moment');
  const engine = createEngine(plant, moment.run);
  const fromS = moment.atS + 60;
  const size = drainLPerH[drying];
  const faults = isBoiled ? [] : [{ fault: 'element-exposed', fromS, untilS: Number.POSITIVE_INFINITY, size }];
  const operator = { startsAtS: null, attendsEveryS: 300 };
  const rig = createRig({ spec: course.spec, controller: engine, seed: 1, faults, operator, logEveryS: 0 });
  putBack(rig, course.spec, moment);
  let bareAtS: number | null = null;
  let offAtS: number | null = null;
  let hottestC = 0;
  rig.run(6 * 3600, ({ atS, site }) => {
    if (site.state.coveredShare < 0.2) bareAtS ??= atS;
    if (commandedHeat(engine.run, plant) === 0) offAtS ??= atS;
    hottestC = Math.max(hottestC, skinC(site));
    const isLate = bareAtS !== null && atS - bareAtS > 1800;
    return isLate || (offAtS !== null && atS - offAtS > 60);
  });
  const { elementTempMaxC: limitC } = plant.still.ratings;
  const heatOffAfterS = offAtS === null ? null : offAtS - (bareAtS ?? offAtS);
  return { rule, drying, heatOffAfterS, isCovered: bareAtS === null, skinC: hottestC, limitC };
}
