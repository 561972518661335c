import { referenceHPa } from '../../lib/engine/estimate';
import { pointOf } from '../../lib/engine/image';
import type { Event, Plant } from '../../lib/engine/types';
import { shiftVapourTemp } from '../../lib/physics';
import { type Saying, sayName } from '../../lib/words';
import type { StillHost } from '../host/still-host';
import { type Journal, StoreError } from '../store';
import type { TrendView } from './views';

/** One moment of a plot. */
interface Sample {
  readonly atS: number;
  readonly vapourC: number | null;
  readonly atReferenceC: number | null;
  readonly boilerC: number | null;
}

export type PhaseMark = TrendView['phases'][number];

const everyS = 15;
/** Twelve hours of samples. */
const mostSamples = (12 * 3600) / everyS;
/** Moments sent at the most: a plot has no more columns. */
const mostShown = 900;

/** What a still showed lately, sampled as it runs; nothing is read from the record for it. */
export interface TrendKeeper {
  note(host: StillHost): void;
  heard(event: Event): void;
  view(host: StillHost): TrendView;
}

export function createTrendKeeper(journal: Journal, saying: Saying): TrendKeeper {
  let samples: Sample[] = [];
  let marks: PhaseMark[] = [];
  let runId: string | null = null;

  /** Another run, or the first one after a restart: what the record has of it comes first. */
  const begin = (host: StillHost): void => {
    if (host.runId === null || host.runId === runId) return;
    const isFirst = samples.length === 0;
    runId = host.runId;
    if (!isFirst) return;
    samples = [...recorded(journal, host.runId, host.plant)].slice(-mostSamples);
    marks = [...recordedMarks(journal, host.runId, saying)];
  };

  return {
    note(host) {
      begin(host);
      const { run, plant } = host;
      const last = samples[samples.length - 1];
      if (last !== undefined && run.now - last.atS < everyS) return;
      const { vapourTempC, boilerTempC, pressure } = run.estimate;
      samples.push({
        atS: run.now,
        vapourC: vapourTempC,
        atReferenceC: shifted(vapourTempC, pressure.medianHPa, referenceHPa(plant)),
        boilerC: boilerTempC,
      });
      if (samples.length > mostSamples * 1.1) samples = samples.slice(-mostSamples);
    },
    heard(event) {
      if (event.kind !== 'phase') return;
      marks.push({ atS: event.atS, to: event.to, toSaid: sayName(event.to, saying) });
      if (marks.length > 200) marks = marks.slice(-100);
    },
    view(host) {
      begin(host);
      const startedS = host.plant.recipe === null ? null : host.run.startedAtS;
      const from = startedS === null ? Number.NEGATIVE_INFINITY : startedS - 600;
      const shown = samples.filter((sample) => sample.atS >= from);
      return viewOf(
        shown,
        startedS,
        host.plant,
        marks.filter((mark) => mark.atS >= from),
      );
    },
  };
}

function shifted(tempC: number | null, pressureHPa: number | null, reference: number): number | null {
  return tempC === null || pressureHPa === null ? null : shiftVapourTemp(tempC, pressureHPa, reference);
}

function viewOf(
  samples: readonly Sample[],
  startedS: number | null,
  plant: Plant,
  phases: readonly PhaseMark[],
): TrendView {
  const step = Math.max(1, Math.ceil(samples.length / mostShown));
  // Counted from the end, so that the latest is always there.
  const kept = samples.filter((_sample, index) => (samples.length - 1 - index) % step === 0);
  const round = (value: number | null) => (value === null ? null : Math.round(value * 100) / 100);
  return {
    startedS,
    referenceHPa: referenceHPa(plant),
    atS: kept.map((sample) => Math.round(sample.atS)),
    vapourC: kept.map((sample) => round(sample.vapourC)),
    vapourAtReferenceC: kept.map((sample) => round(sample.atReferenceC)),
    boilerC: kept.map((sample) => round(sample.boilerC)),
    phases,
  };
}

/** Minutes of the record as samples, with the calibration of the still put in. */
function* recorded(journal: Journal, runId: string, plant: Plant): Generator<Sample> {
  const [vapour, boiler, air] = [
    pointOf(plant, 'vapour-temp'),
    pointOf(plant, 'boiler-temp'),
    pointOf(plant, 'air-pressure'),
  ];
  let pressureHPa: number | null = null;
  try {
    for (const { fromS, toS, points } of journal.summaries(runId)) {
      const mean = (point: typeof vapour): number | null => {
        const found = points.find((one) => one.point === point?.id);
        if (found === undefined || point === null) return null;
        const { gain = 1, offset = 0 } = point.calibration ?? {};
        return found.mean * gain + offset;
      };
      pressureHPa = mean(air) ?? pressureHPa;
      const vapourC = mean(vapour);
      yield {
        atS: (fromS + toS) / 2,
        vapourC,
        atReferenceC: shifted(vapourC, pressureHPa, referenceHPa(plant)),
        boilerC: mean(boiler),
      };
    }
  } catch (error) {
    // A damaged minute ends the plot, not the page: the record itself says more when it is read or verified.
    if (!(error instanceof StoreError)) throw error;
  }
}

function* recordedMarks(journal: Journal, runId: string, saying: Saying): Generator<PhaseMark> {
  try {
    for (const kept of journal.readDecisions(runId)) {
      if (kept.kind !== 'decision' || kept.decision.kind !== 'event') continue;
      const { event } = kept.decision;
      if (event.kind === 'phase') yield { atS: event.atS, to: event.to, toSaid: sayName(event.to, saying) };
    }
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
  }
}

/** The plot of a run in the record; from its minutes alone, so thinned runs have one too. */
export function recordedTrend(
  journal: Journal,
  runId: string,
  plant: Plant,
  startedS: number | null,
  saying: Saying,
): TrendView {
  return viewOf([...recorded(journal, runId, plant)], startedS, plant, [...recordedMarks(journal, runId, saying)]);
}
