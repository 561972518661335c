import { heatState, vapourThereC } from '../engine/hot';
import { pointOf, valueOfKind } from '../engine/image';
import { isSettled, valueAt } from '../engine/line';
import { distilledByHeatL, heatNow } from '../engine/produced';
import { trusted } from '../engine/reading';
import { openReceivers } from '../engine/receivers';
import type { Plant, Run, Watch } from '../engine/types';
import { boilerPressureHPa, leftBubbleC } from './content';
import { followProbes, followSkins } from './watch-probes';

const sampleEveryS = 10;
/** 31 samples: the last five minutes. */
const sampleLimit = 31;
/** Vapour that was at the head has gone below this: a little less than where it came [°C]. */
const vapourGoneC = 55;
/** Growth of the volume that is more than the meter's own noise [L]. */
const dropL = 0.005;

/** What is forgotten when a run begins. */
function runNothing(now: number) {
  return {
    heatUp: null,
    heatSinceS: null,
    vapourSinceS: null,
    boilingBlindS: 0,
    drip: { atS: now, volumeL: 0, expectedL: 0 },
    boiledL: 0,
    boiledLPerJ: 0,
    bubbleC: null,
    bubbleLowC: null,
    bubbleAtS: Number.MIN_SAFE_INTEGER,
    closedL: {},
  } as const;
}

export function watchNothing(now: number): Watch {
  return {
    atS: now,
    startedAtS: null,
    lateAtS: null,
    lateS: 0,
    samples: [],
    probes: {},
    skins: {},
    ...runNothing(now),
    doubted: {},
  };
}

/** Brings what the safety rules remember up to this scan. */
export function followWatch(plant: Plant, run: Run): Watch {
  const { now, image } = run;
  const kept = completed(run.watch, now);
  const before =
    kept.startedAtS === run.startedAtS ? kept : { ...kept, ...runNothing(now), startedAtS: run.startedAtS };
  const gapS = Math.max(0, now - before.atS);
  const late = gapS > plant.still.scanLateS;
  const heatW = heatNow(plant, run, image);
  const boilerC = steadyC(plant, run, 'boiler-temp');
  const vapourC = steadyC(plant, run, 'vapour-temp');
  const heated = heatState(plant, run, image) === 'on' && heatW > 0;
  const vapourSinceS = vapourSince(before.vapourSinceS, vapourC, now);
  const ageS = Math.min(gapS, 60);
  const slow = slowly(plant, run, before, heatW);
  const { efficiency, lossW } = plant.still.boilUp;
  const boiledL = vapourSinceS === null ? 0 : Math.max(0, heatW * efficiency - lossW) * slow.boiledLPerJ * ageS;
  return {
    ...before,
    atS: now,
    lateAtS: late ? now : before.lateAtS,
    lateS: late ? gapS : before.lateS,
    samples: sample(before, { atS: now, boilerC, vapourC, strengthAbv: run.estimate.strengthAbv, heatW }),
    probes: followProbes(plant, run, before.probes, slow.bubbleC),
    skins: followSkins(plant, run, before.skins),
    heatUp: heatUp(plant, run, before, boilerC, heated),
    heatSinceS: heated ? (before.heatSinceS ?? now) : null,
    vapourSinceS,
    boilingBlindS: boilingBlind(before, slow.bubbleC, boilerC, vapourC, heated, ageS),
    drip: drip(run, before.drip, boiledL),
    boiledL: before.boiledL + boiledL,
    ...slow,
    closedL: closed(plant, run, before.closedL),
  };
}

/** A record of an older program lacks what it did not yet remember. */
function completed(watch: Watch | undefined, now: number): Watch {
  const isWhole = watch?.skins !== undefined && watch.doubted !== undefined && watch.closedL !== undefined;
  return isWhole ? watch : { ...watchNothing(now), ...watch };
}

/** What a probe shows by the line through its readings, which a wild one does not move; by the reading where there is no line yet. */
function steadyC(plant: Plant, run: Run, kind: 'boiler-temp' | 'vapour-temp'): number | null {
  const point = pointOf(plant, kind);
  const value = point === null ? null : trusted(run.image[point.id]);
  const line = point === null || value === null ? undefined : run.estimate.lines[point.id];
  return line === undefined || !isSettled(line, run.now) ? value : valueAt(line, run.now).value;
}

function vapourSince(before: number | null, vapourC: number | null, now: number): number | null {
  if (vapourC === null) return before;
  if (vapourC >= vapourThereC) return before ?? now;
  return vapourC < vapourGoneC ? null : before;
}

/** Distillate a joule of net heat can bring to the spout [L/J]; an unknown strength counts as that of weak feints. */
function boiledLPerJ(plant: Plant, run: Run, heatW: number): number {
  if (run.startedAtS === null) return 0;
  const { strengthAbv, vapourTempC } = run.estimate;
  const { efficiency, lossW } = plant.still.boilUp;
  const netW = Math.max(500, heatW * efficiency - lossW);
  return distilledByHeatL(plant, run, (netW + lossW) / efficiency, strengthAbv ?? 0.3, vapourTempC ?? 95) / netW;
}

function sample(before: Watch, now: Watch['samples'][number]): Watch['samples'] {
  const last = before.samples[before.samples.length - 1];
  if (last !== undefined && now.atS - last.atS < sampleEveryS) return before.samples;
  return [...before.samples, now].slice(-sampleLimit);
}

/** The measured heat-up begins a minute after the heat, and anew after a break or when the probe falls. */
function heatUp(plant: Plant, run: Run, before: Watch, boilerC: number | null, heated: boolean): Watch['heatUp'] {
  if (!heated || run.phase !== 'heat-up' || plant.charge === null) return null;
  if (boilerC === null || before.heatSinceS === null || run.now - before.heatSinceS < 60) return null;
  if (before.heatUp !== null && boilerC >= before.heatUp.tempC - 0.5) return before.heatUp;
  return { atS: run.now, tempC: boilerC, energyJ: run.estimate.produced.energyJ };
}

function boilingBlind(
  before: Watch,
  bubbleC: number | null,
  boilerC: number | null,
  vapourC: number | null,
  heated: boolean,
  ageS: number,
): number {
  if (bubbleC === null || boilerC === null || vapourC === null) return before.boilingBlindS;
  if (!heated || vapourC >= vapourThereC || boilerC < bubbleC - 4) return 0;
  return boilerC >= bubbleC - 2 ? before.boilingBlindS + ageS : before.boilingBlindS;
}

function drip(run: Run, before: Watch['drip'], boiledL: number): Watch['drip'] {
  const { source, volumeL, rateLPerH } = run.estimate.produced;
  const came = source === 'flow' ? rateLPerH > 0.02 && volumeL > before.volumeL : volumeL >= before.volumeL + dropL;
  if (came || source === 'none' || source === 'heat') return { atS: run.now, volumeL, expectedL: 0 };
  return boiledL === 0 ? before : { ...before, expectedL: before.expectedL + boiledL };
}

type Slow = Pick<Watch, 'bubbleC' | 'bubbleLowC' | 'bubbleAtS' | 'boiledLPerJ'>;

/** What follows from the composition is worked out every ten seconds: it moves slowly. */
function slowly(plant: Plant, run: Run, before: Watch, heatW: number): Slow {
  const { bubbleC, bubbleLowC, bubbleAtS } = before;
  if (run.now - bubbleAtS < sampleEveryS) return { bubbleC, bubbleLowC, bubbleAtS, boiledLPerJ: before.boiledLPerJ };
  const gaugeHPa = valueOfKind(plant, run.image, 'boiler-pressure');
  const range = leftBubbleC(plant, run, boilerPressureHPa(run, gaugeHPa));
  return {
    bubbleC: range?.highC ?? null,
    bubbleLowC: range?.lowC ?? null,
    bubbleAtS: run.now,
    boiledLPerJ: boiledLPerJ(plant, run, heatW),
  };
}

/** Remembers what stood in each receiver that has a valve of ours and a measured volume when it was closed. */
function closed(plant: Plant, run: Run, before: Watch['closedL']): Watch['closedL'] {
  let next = before;
  const open = openReceivers(run);
  for (const id in plant.still.points) {
    const point = plant.still.points[id];
    if (point?.kind !== 'receiver-volume' || point.receiver === undefined) continue;
    const volumeL = trusted(run.image[id]);
    if (volumeL === null) continue;
    const was = next[point.receiver];
    if (open.includes(point.receiver) || was === undefined || volumeL < was) {
      if (was !== volumeL) next = { ...next, [point.receiver]: volumeL };
    }
  }
  return next;
}
