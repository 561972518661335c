import { freshRun } from '../../lib/engine/fresh';
import { createRandom, nextBetween, nextUnit, type ProbeSpec, type StillOptions } from '../../simulators/model';
import { createRig } from '../../simulators/rig';
import { plantOfScenario } from '../../simulators/run-scenario';
import { specOf } from '../../simulators/scenarios';
import { createEngine } from './engine';
import { campaignStills, type StillType, stillTypes } from './stills';

/** An undisturbed run with noisy, slow and wandering probes in drifting weather. */
export interface Quiet {
  readonly seed: number;
  readonly type: StillType;
  readonly hours: number;
  /** Trips and holds: every one of them is false. */
  readonly trips: readonly string[];
  /** Alarms without a trip, by name; those a run has in life too, such as a receiver that fills, are among them. */
  readonly alarms: readonly string[];
  readonly end: string;
}

/** Litres charged: the campaign's faults are tried on smaller ones, so that a run ends sooner. */
const chargesL: Readonly<Record<StillType, number>> = { pot: 55, column: 40, bare: 50, stripping: 56 };

/**
 * Noise up to three times the usual, lags up to twice, offsets within the accuracy, wandering; a front in every third
 * run; sugar and superheat up to 1 K; charge as stated within a few parts in a hundred.
 */
function optionsOf(type: StillType, seed: number): StillOptions {
  const random = createRandom(seed, `quiet/${type}`);
  const scenario = campaignStills[type];
  const probes: Record<string, Partial<ProbeSpec>> = {};
  for (const [id, accuracy] of [
    ['vapour-temp', 0.15],
    ['boiler-temp', 0.25],
  ] as const) {
    probes[id] = {
      noise: nextBetween(random, 0.02, 0.12),
      lagS: nextBetween(random, 4, 24),
      offset: nextBetween(random, -accuracy, accuracy),
      wanderPerRootH: nextBetween(random, 0, 0.03),
    };
  }
  const front =
    nextUnit(random) < 1 / 3
      ? {
          atS: nextBetween(random, 2000, 12000),
          changeHPa: nextBetween(random, -14, 10),
          widthS: nextBetween(random, 600, 2400),
        }
      : null;
  const strengthAbv = scenario.options.charge?.strengthAbv ?? 0.3;
  return {
    charge: {
      volumeL: chargesL[type] * nextBetween(random, 0.8, 1.04),
      strengthAbv: strengthAbv * nextBetween(random, 0.93, 1.06),
      solidsRiseK: nextBetween(random, 0, type === 'stripping' ? 1 : 0.3),
    },
    body: { superheatK: nextBetween(random, 0, 1) },
    site: {
      weather: { offsetHPa: nextBetween(random, -20, 20), wanderHPaPerRootH: nextBetween(random, 0.3, 1.5), front },
    },
    probes,
  };
}

/** What the operator states is a little off: by 2 % of the volume and of the strength. */
function stated(value: number, seed: number, name: string): number {
  return value * nextBetween(createRandom(seed, name), 0.98, 1.02);
}

export function runQuiet(seed: number): Quiet {
  const type = stillTypes[seed % stillTypes.length]!;
  const scenario = campaignStills[type];
  const spec = specOf(scenario, optionsOf(type, seed));
  const { volumeL, strengthAbv } = spec.charge;
  const told = {
    ...spec,
    charge: {
      ...spec.charge,
      volumeL: Math.min(60, stated(volumeL, seed, 'volume')),
      strengthAbv: stated(strengthAbv, seed, 'strength'),
    },
  };
  const engine = createEngine(plantOfScenario(scenario, told), freshRun(0));
  const trips: string[] = [];
  const alarms = new Set<string>();
  const rig = createRig({
    spec,
    controller: engine,
    seed,
    logEveryS: 0,
    operator: { attendsEveryS: 300 },
    watch: ({ events, atS }) => {
      for (const event of events) {
        const at = `at ${Math.round(atS)} s in ${engine.run.phase}`;
        if (event.kind === 'trip' && event.state === 'tripped') trips.push(`${event.trip} ${at}`);
        if (event.kind === 'state' && event.to === 'held' && event.reason.code !== 'held.trip')
          trips.push(`${event.reason.code} ${at}`);
        if (event.kind === 'alarm' && event.transition === 'raised') alarms.add(event.alarm.split(':', 1)[0]!);
      }
    },
  });
  let cooledS = 0;
  // Half an hour of cooling down counts, the many idle ones after it do not.
  rig.run(20 * 3600, () => {
    if (engine.run.phase === 'cool-down') cooledS += 1;
    return cooledS >= 1800 || engine.run.state === 'held' || engine.run.state === 'complete';
  });
  const { phase, state } = engine.run;
  const end = phase === 'cool-down' || state === 'complete' ? 'finished' : `${state} in ${phase}`;
  return { seed, type, hours: rig.site.state.atS / 3600, trips, alarms: [...alarms], end };
}
