import type { Site } from '../../simulators/site';
import { brokenRules } from '../tools/safety-invariants';
import { commandedHeat, skinC } from './case';
import type { Trial } from './draw';
import type { TestEngine } from './engine';

/** Longest a device that hears may draw power after the heat was told off: its answer, and a meter's turn [s]. */
const offWithinS = 15;
/** What may run over at the vent before it counts: the drops of a switch [L]. */
const dropsL = 0.05;
/** A program that was gone for longer than this could not guard anything, and for as long after it as a device takes to answer [s]. */
const goneS = 3;
const backS = 10;

/** What is remembered of the truth to judge it. */
export interface Truth {
  /** Checks after a scan; a line for each rule that was broken just now. */
  check(atS: number): readonly string[];
}

/**
 * What must hold of the still itself, whatever the engine believes: heat that was told off does go off, distillate never
 * runs where no receiver is, no skin passes its limit where a probe looks at it.
 */
export function watchTruth(trial: Trial, engine: TestEngine, site: Site): Truth {
  const { plant } = trial.course;
  const names = new Set(trial.plans.map(({ fault }) => fault));
  const hasDeafHeat = ['relay-welded', 'lost-command', 'link-lost', 'power-dip'].some((fault) => names.has(fault));
  const hasDeafValves = ['valve-stuck', 'lost-command', 'link-lost', 'power-dip'].some((fault) => names.has(fault));
  const hasLiar = trial.plans.some(({ target }) => target === 'element-temp');
  const limitC = plant.still.ratings.elementTempMaxC;
  const isInHand = !hasLiar && !names.has('relay-welded');
  const looksAtSkin = isInHand && Object.values(plant.still.points).some(({ kind }) => kind === 'element-temp');
  const deadManS = Math.max(0, ...Object.values(plant.still.drives).map((drive) => drive.deadManS ?? 0));
  const overrunBeforeL = site.state.spout.overrun.volumeL;
  let offSinceS: number | null = null;
  let unguardedUntilS = Number.NEGATIVE_INFINITY;
  let whenFull: ReturnType<typeof wantedOf> | null = null;
  const said = new Set<string>();
  const once = (what: string, isSo: boolean, line: () => string): readonly string[] => {
    if (!isSo || said.has(what)) return [];
    said.add(what);
    return [line()];
  };
  return {
    check(atS) {
      const { run, before, last } = engine;
      const isTold = commandedHeat(run, plant) > 0;
      const isPowered = site.state.powerW > 0;
      offSinceS = isPowered && !isTold ? (offSinceS ?? atS) : null;
      const patienceS = hasDeafHeat ? deadManS + 5 : offWithinS;
      const overrunL = site.state.spout.overrun.volumeL - overrunBeforeL;
      const isGone = atS - (run.now + engine.behindS) > goneS;
      unguardedUntilS = isGone ? atS + backS : unguardedUntilS;
      whenFull = engine.isDiskFull ? (whenFull ?? wantedOf(site, engine)) : null;
      const unwritten = whenFull === null ? null : unwrittenOf(trial, site, whenFull);
      const rules = last === null ? [] : brokenRules({ plant, before, ...last });
      return [
        ...rules.flatMap((line) => once(line.replace(/[\d.]+/g, ''), true, () => line)),
        ...once(
          'power',
          offSinceS !== null && atS - offSinceS > patienceS && !names.has('relay-welded') && !engine.isFrozen,
          () => `${site.state.powerW.toFixed(0)} W still drawn ${patienceS} s after the heat was told off`,
        ),
        ...once('overrun', overrunL > dropsL && !hasDeafValves, () => `${overrunL.toFixed(2)} L ran over at the vent`),
        ...once('unwritten', unwritten !== null, () => `${unwritten} though nothing can be written down`),
        ...once(
          'skin',
          looksAtSkin && atS > unguardedUntilS && skinC(site) > limitC,
          () => `the element's skin came to ${skinC(site).toFixed(0)} °C, above ${limitC} °C`,
        ),
      ];
    },
  };
}

/** What each device was told last, or is told by what is already written down: a repetition may still arrive. */
function wantedOf(site: Site, { run }: TestEngine): Readonly<Record<string, readonly [number, number]>> {
  return Object.fromEntries(
    Object.entries(site.drives.drives).map(([id, { wanted }]) => {
      const written = run.drives[id]?.value;
      const told = typeof written === 'number' ? written : wanted;
      return [id, [Math.min(wanted, told), Math.max(wanted, told)]];
    }),
  );
}

/** What a device was told since the disk is full that is less safe than what it was told before; null where nothing. */
function unwrittenOf({ course }: Trial, site: Site, before: ReturnType<typeof wantedOf>): string | null {
  for (const [id, { wanted }] of Object.entries(site.drives.drives)) {
    const drive = course.plant.still.drives[id];
    const [least, most] = before[id] ?? [wanted, wanted];
    if (drive?.kind === 'heat' && wanted > most) return `${id} was told to heat more`;
    if (drive?.kind === 'coolant' && wanted < least) return `${id} was told to run less`;
  }
  return null;
}
