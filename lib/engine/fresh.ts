import { watchNothing } from '../alarms/watch';
import { forecastNothing } from '../forecast/nothing';
import { hold, surgeNothing } from './course';
import { cutNothing } from './cut';
import { estimateNothing } from './estimate';
import { producedNothing } from './produced';
import type { Plant, Run } from './types';

/** A run of which nothing is known yet: idle, no reading heard, no drive commanded. */
export function freshRun(now: number): Run {
  return {
    now,
    state: 'idle',
    phase: 'idle',
    step: -1,
    startedAtS: null,
    phaseSinceS: now,
    phaseSinceL: 0,
    stateReason: { code: 'state.fresh', numbers: {} },
    image: {},
    estimate: estimateNothing,
    cut: cutNothing,
    surge: surgeNothing,
    spout: { fraction: null, pending: null },
    receiver: null,
    switching: null,
    spoutAsked: null,
    stuckReceiver: null,
    lastCut: null,
    resume: null,
    drives: {},
    alarms: {},
    trips: [],
    firstOut: null,
    heatAtS: null,
    attendedAtS: null,
    jar: null,
    commandCount: 0,
    watch: watchNothing(now),
  };
}

/**
 * The run with which a new plant begins: what the still shows, which drives stand where and which alarms stand are
 * carried over; the old run's cuts, spout and volumes are not.
 */
export function carryOver(_plant: Plant, before: Run): Run {
  return {
    ...freshRun(before.now),
    image: before.image,
    estimate: {
      ...before.estimate,
      plateauC: null,
      plateauPhase: null,
      forecast: forecastNothing,
      produced: {
        ...producedNothing,
        meterL: before.estimate.produced.meterL,
        byReceiver: before.estimate.produced.byReceiver,
      },
    },
    drives: before.drives,
    receiver: before.receiver,
    alarms: before.alarms,
    trips: before.trips,
    heatAtS: before.heatAtS,
    attendedAtS: before.attendedAtS,
    commandCount: before.commandCount,
  };
}

/** Whether receivers are switched by drives of ours. */
function isDriven(plant: Plant): boolean {
  return Object.values(plant.still.drives).some(
    (drive) => drive.kind === 'receiver-valve' || drive.kind === 'diverter',
  );
}

/**
 * A run as it goes on after the daemon was stopped, killed or taken over: held, heat off, until an operator orders the
 * resume. Readings, smoothed lines and what the drives do now are not known any more.
 */
export function rebuilt(plant: Plant, before: Run): Run {
  const { run } = hold(plant, { run: before, events: [] }, { code: 'held.restart', numbers: {} });
  return {
    ...run,
    image: {},
    estimate: {
      ...run.estimate,
      lines: {},
      recent: [],
      vapourTempC: null,
      vapourSlopeKPerS: null,
      boilerTempC: null,
      boilerSlopeKPerS: null,
      // What the charge has come to stays true; what lies ahead is looked at anew.
      forecast: { ...(run.estimate.forecast ?? forecastNothing), atS: null, step: -1, next: forecastNothing.next },
    },
    drives: {},
    // Where the valves stand is not known any more: the first is opened and proven before another closes.
    receiver: isDriven(plant) ? null : run.receiver,
    switching: null,
    watch: watchNothing(run.now),
    surge: surgeNothing,
    cut: { ...run.cut, metSinceS: null, suspended: false, suspendedSinceS: null },
    heatAtS: run.now,
  };
}
