import { createController } from '../../lib/engine/controller';
import { freshRun } from '../../lib/engine/fresh';
import { compilePlant } from '../../lib/engine/plant';
import type { Event, Plant, Run } from '../../lib/engine/types';
import type { SheetFigures } from '../../lib/jars';
import { shiftVapourTemp } from '../../lib/physics';
import type { Recipe } from '../../lib/recipe/schema';
import { checkStill } from '../../lib/still/check';

/** A still that measures what a sheet holds: vapour, boiler, air pressure, a parrot and a meter; the spout is moved by hand. */
function stillFor(figures: SheetFigures) {
  const checked = checkStill({
    still: 1,
    id: 'replayed',
    name: 'Replayed',
    kind: figures.sheet.still.kind,
    boilerVolumeL: 200_000,
    heelL: 0.001,
    points: {
      vapour: { kind: 'vapour-temp', staleAfterS: 60 },
      boiler: { kind: 'boiler-temp', staleAfterS: 60 },
      air: { kind: 'air-pressure' },
      parrot: { kind: 'parrot-strength' },
      meter: { kind: 'collected-volume' },
    },
    receivers: { all: { capacityL: 200_000, takes: ['foreshots', 'heads', 'hearts', 'tails'] } },
    spout: { holdUpL: figures.sheet.still.holdUpL },
  });
  if (checked.kind === 'bad') throw new Error(JSON.stringify(checked.problems));
  return checked.value;
}

export interface EngineReplay {
  /** Volume at the spout when hearts began and ended to run there [L]; null where it never did. */
  readonly fromL: number | null;
  readonly toL: number;
  readonly jarsIn: readonly number[];
  /** Questions the engine put. */
  readonly asked: readonly string[];
  readonly plant: Plant;
}

const everyS = 5;
const usualJarS = 900;

/** The run of a sheet as readings, a straight line from changeover to changeover, one set every five seconds. */
function* readingsOf(figures: SheetFigures, refHPa: number) {
  const { jars, changeovers, sheet } = figures;
  // A column equalises first, a quarter of an hour at least.
  const leadS = sheet.still.kind === 'column' ? 2400 : 600;
  let nowS = leadS;
  let volumeL = 0;
  const first = changeovers[0]!;
  const hpa = first.stationHPa ?? 1013.25;
  // The vapour is in the head some minutes before the first drop: the head and the condenser warm up first.
  for (let t = 0; t < leadS; t += everyS) {
    const vapourC = 20 + ((first.vapourC ?? 80) - 20) * Math.min(1, Math.max(0, (t - 120) / 60));
    yield { nowS: t, vapourC, hpa, abv: jars[0]?.strengthAbv ?? 0.7, volumeL: 0 };
  }
  const parts = [
    ...(sheet.beforeJarsL > 0
      ? [{ from: first, to: first, l: sheet.beforeJarsL, abv: (figures.beforeAlcoholL ?? 0) / sheet.beforeJarsL }]
      : []),
    ...jars.map((jar, index) => ({
      from: changeovers[index]!,
      to: changeovers[index + 1]!,
      l: jar.volumeL ?? 1,
      abv: jar.alcoholL !== null && jar.volumeL !== null ? jar.alcoholL / jar.volumeL : (jar.strengthAbv ?? 0.5),
    })),
  ];
  // The parrot shows what was collected since the last reading.
  let collectedAbv = parts[0]?.abv ?? 0.5;
  for (const part of parts) {
    const startS = part.from.timeS;
    const endS = part.to.timeS;
    const lasts =
      part.from === part.to || startS === null || endS === null || endS <= startS ? usualJarS : endS - startS;
    for (let t = 0; t < lasts; t += everyS) {
      const place = t / lasts;
      const reference = between(part.from.vapourAtReferenceC, part.to.vapourAtReferenceC, place);
      const here = between(part.from.stationHPa, part.to.stationHPa, place) ?? hpa;
      yield {
        nowS: nowS + t,
        vapourC: reference === null ? null : shiftVapourTemp(reference, refHPa, here),
        hpa: here,
        abv: collectedAbv,
        volumeL: volumeL + part.l * place,
      };
      collectedAbv = part.abv;
    }
    nowS += lasts;
    volumeL += part.l;
  }
}

function between(a: number | null, b: number | null, place: number): number | null {
  return a === null || b === null ? null : a + place * (b - a);
}

/** Runs a recipe with the whole engine over the run of a sheet; only questions the recipe has asked are answered. */
export function replayWithEngine(
  figures: SheetFigures,
  recipe: Recipe,
  variant: string,
  watch: (run: Run, events: readonly Event[]) => void = () => {},
): EngineReplay {
  const strengthAbv = figures.sheet.charge.strengthVolPercent / 100;
  const charge = { volumeL: figures.chargeAlcoholL / strengthAbv, strengthAbv };
  const compiled = compilePlant(stillFor(figures), recipe, variant, charge);
  if (compiled.kind === 'bad') throw new Error(JSON.stringify(compiled.problems));
  const controller = createController(compiled.value, freshRun(0));
  const asked: string[] = [];
  let fromL: number | null = null;
  let toL = 0;
  for (const reading of readingsOf(figures, figures.referenceHPa)) {
    const atS = reading.nowS;
    if (atS === 10) controller.order({ id: 'start', kind: 'start', by: 'test', from: 'still' });
    if (reading.vapourC !== null) controller.put({ point: 'vapour', value: reading.vapourC, atS });
    controller.put({ point: 'boiler', value: 90, atS });
    controller.put({ point: 'air', value: reading.hpa, atS });
    controller.put({ point: 'parrot', value: reading.abv, atS });
    controller.put({ point: 'meter', value: reading.volumeL, atS });
    const { events } = controller.scan(atS);
    watch(controller.run, events);
    for (const event of events) {
      if (event.kind !== 'cut-asked') continue;
      asked.push(event.from);
      const answered = event.reason.code === 'ask.recipe';
      if (answered) controller.order({ id: `cut-${atS}`, kind: 'cut', by: 'test', from: 'still' });
    }
    const { fraction } = controller.run.spout;
    if (fraction === 'hearts') {
      fromL ??= reading.volumeL;
      toL = reading.volumeL;
    }
  }
  return { fromL, toL, jarsIn: fromL === null ? [] : jarsInside(figures, fromL, toL), asked, plant: compiled.value };
}

/** Own arithmetic, not the library's: a jar is in when more than half of it ran while hearts were at the spout. */
function jarsInside(figures: SheetFigures, fromL: number, toL: number): number[] {
  const inside: number[] = [];
  let startL = figures.sheet.beforeJarsL;
  for (const jar of figures.jars) {
    const endL = startL + (jar.volumeL ?? 1);
    const middleL = (startL + endL) / 2;
    if (middleL > fromL && middleL < toL) inside.push(jar.number);
    startL = endL;
  }
  return inside;
}
