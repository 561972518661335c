import { createController } from '../../lib/engine/controller';
import { freshRun } from '../../lib/engine/fresh';
import { compilePlant } from '../../lib/engine/plant';
import type { Event } from '../../lib/engine/types';
import { appendEntry, entryOfEvent, type SheetEntryDocument, type SheetHistory } from '../../lib/jars';
import { type CongenerName, congenerNames, shiftVapourTemp } from '../../lib/physics';
import { type Checked, showProblem } from '../../lib/problems';
import { checkRecipe } from '../../lib/recipe/check';
import type { RecipeDocument } from '../../lib/recipe/schema';
import { checkStill } from '../../lib/still/check';
import { describeStill, fractionsOf, truthOf } from '../model';
import { createRig } from '../rig';
import type { Site } from '../site';
import { workedPot } from './stills';
import { type Predicted, taste, tasters } from './taster';

/** Charge, heat and place of run 1, which the others repeat or not. */
export const first = {
  chargeL: 55,
  chargeVolPercent: 29,
  heatShare: 0.7,
  ratedW: 5000,
  /** Weather against the standard atmosphere [hPa]. */
  weatherHPa: -4,
} as const;

/** Sizes of the jars [L], smaller where cuts are expected: foreshots first. */
export const jarSizesL: readonly number[] = [
  0.2, 0.3, 0.4, 0.4, 0.4, 0.4, 0.4, 0.6, 0.9, 0.95, 0.95, 0.95, 0.95, 0.95, 0.95, 0.95, 0.6, 0.5, 0.5, 0.5, 0.5, 0.5,
  0.5, 0.5,
];

/** Everything into one can; the jars are changed by hand under it. */
const developmentRecipe: RecipeDocument = {
  recipe: 1,
  name: 'Pear spirit, development',
  kind: 'spirit',
  stillKind: 'pot',
  phases: [
    { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 180, heatShare: first.heatShare },
    { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 98 }, heatShare: first.heatShare },
  ],
};

export function good<T>(checked: Checked<T>): T {
  if (checked.kind === 'ok') return checked.value;
  throw new Error(`assertion: ${checked.problems.map(showProblem).join('\n')}`);
}

/** What really stood in all receivers together. */
interface Standing {
  readonly volumeL: number;
  readonly alcoholL: number;
  readonly congenersMg: Readonly<Record<CongenerName, number>>;
}

function standing(site: Site): Standing {
  const all = Object.values(fractionsOf(site.state));
  const sum = (of: (one: (typeof all)[number]) => number) => all.reduce((total, one) => total + of(one), 0);
  return {
    volumeL: sum((one) => one.volumeL),
    alcoholL: sum((one) => one.alcoholL),
    congenersMg: Object.fromEntries(
      congenerNames.map((name) => [name, sum((one) => (one.predictedCongenersMgPerL[name] ?? 0) * one.volumeL)]),
    ) as Record<CongenerName, number>,
  };
}

/** A jar as it really is: the truth that the simulator knows and the distiller does not. */
export interface JarTruth {
  readonly volumeL: number;
  readonly alcoholL: number;
  readonly predicted: Predicted;
}

export interface Development {
  readonly history: SheetHistory;
  readonly truth: readonly JarTruth[];
  /** Vapour at the reference pressure over the share of the alcohol come over, for the plot. */
  readonly course: readonly { readonly sharePercent: number; readonly vapourC: number; readonly strengthAbv: number }[];
}

type JarEvent = Extract<Event, { kind: 'jar' }>;

interface Changed {
  readonly event: JarEvent;
  readonly standing: Standing;
  readonly boilerTempC: number | null;
}

/** Runs the development run under the real engine; jars are changed by order when they are full. */
function collectJars(seed: number) {
  const still = good(checkStill(workedPot));
  const charge = { volumeL: first.chargeL, strengthAbv: first.chargeVolPercent / 100 };
  const weather = { offsetHPa: first.weatherHPa, wanderHPaPerRootH: 0.3, front: null };
  const spec = describeStill(still, { charge, site: { weather } });
  const plant = good(compilePlant(still, good(checkRecipe(developmentRecipe)), null, charge));
  const controller = createController(plant, freshRun(0));
  const changes: Changed[] = [];
  const course: { sharePercent: number; vapourC: number; strengthAbv: number }[] = [];
  let waiting = false;
  let wantedL = 0.001;
  const rig = createRig({
    spec,
    controller,
    seed,
    logEveryS: 0,
    watch: ({ atS, site, events }) => {
      for (const event of events) {
        if (event.kind !== 'jar') continue;
        const { boilerTempC } = controller.run.estimate;
        changes.push({ event, standing: standing(site), boilerTempC });
        wantedL = (changes[0]?.standing.volumeL ?? 0) + jarSizesL.slice(0, changes.length).reduce((a, b) => a + b, 0);
        waiting = false;
      }
      const truth = truthOf(site.state);
      if (!waiting && changes.length <= jarSizesL.length && truth.collectedL >= wantedL) {
        waiting = true;
        rig.order({ id: `jar-${changes.length + 1}`, kind: 'next-jar', by: 'distiller', from: 'still' });
      }
      if (atS % 60 === 0 && truth.collectedL > 0) course.push(pointOf(truth));
    },
  });
  rig.run(12 * 3600, () => changes.length > jarSizesL.length);
  return { changes, course, startedAtS: controller.run.startedAtS ?? 0 };
}

function pointOf(truth: ReturnType<typeof truthOf>) {
  return {
    sharePercent: 100 * truth.alcoholShare,
    vapourC: shiftVapourTemp(truth.vapourTempC, truth.airPressureHPa, 1013.25),
    strengthAbv: truth.vapourStrengthAbv,
  };
}

const signed = { at: '2026-10-03T09:00:00Z', by: 'distiller' };
const rounded = (value: number, places: number) => Number(value.toFixed(places));

/** A development run with its sheet written entry by entry, as the daemon and the tasters write it. */
export function developmentRun(seed: number): Development {
  const { changes, course, startedAtS } = collectJars(seed);
  const truth = changes.slice(1).map(({ standing: after }, index): JarTruth => {
    const before = changes[index]!.standing;
    const alcoholL = after.alcoholL - before.alcoholL;
    const perL = (name: CongenerName) => (after.congenersMg[name] - before.congenersMg[name]) / alcoholL;
    const predicted = Object.fromEntries(congenerNames.map((name) => [name, perL(name)])) as Record<
      CongenerName,
      number
    >;
    return { volumeL: after.volumeL - before.volumeL, alcoholL, predicted };
  });
  const last = changes[changes.length - 1]!;
  const closing = entryOfEvent(last.event, startedAtS, signed, last.boilerTempC) as Extract<
    SheetEntryDocument,
    { kind: 'changeover' }
  >;
  const entries: SheetEntryDocument[] = [
    beginning(),
    ...changes.slice(0, -1).flatMap(({ event, boilerTempC }, index): SheetEntryDocument[] => {
      const entry = entryOfEvent(event, startedAtS, signed, boilerTempC);
      // Nothing ends before jar 1: what was read there is its start.
      return index === 0 && entry.kind === 'changeover'
        ? [entry, { kind: 'read', ...signed, jar: 1, which: 'start', reading: entry.reading }]
        : [entry];
    }),
    { kind: 'close', ...signed, jar: truth.length, reading: closing.reading },
    ...truth.flatMap((jar, index) => written(jar, index + 1)),
  ];
  let history: SheetHistory | null = null;
  for (const entry of entries) history = good(appendEntry(history, entry));
  if (history === null) throw new Error('assertion: nothing was written on the sheet');
  return { history, truth, course };
}

function beginning(): SheetEntryDocument {
  return {
    kind: 'begin',
    ...signed,
    sheet: {
      sheet: 1,
      name: 'Pear spirit',
      run: 'run-1',
      still: { id: 'orchard', name: workedPot.name, holdUpL: workedPot.spout?.holdUpL ?? 0 },
      charge: { volumeL: first.chargeL, strengthVolPercent: first.chargeVolPercent, what: 'perry low wines' },
      heaterW: first.heatShare * first.ratedW,
      probe: { resolutionK: 0.0625, accuracyK: 0.2 },
      strength: { reading: 'true' },
      jars: [],
    },
  };
}

/** Measured as finely as a measuring glass and a hydrometer show, and tasted. */
function written(jar: JarTruth, number: number): SheetEntryDocument[] {
  const strengthVolPercent = rounded((100 * jar.alcoholL) / jar.volumeL, 1);
  return [
    { kind: 'measure', ...signed, jar: number, volumeL: rounded(jar.volumeL, 3), strengthVolPercent },
    ...tasters.map((taster): SheetEntryDocument => {
      const { taster: name, verdict, descriptors, intensity } = taste(taster, jar.predicted);
      const tasting = { taster: name, verdict, descriptors: [...descriptors], intensity };
      return { kind: 'taste', at: signed.at, by: name, jar: number, tasting };
    }),
  ];
}
