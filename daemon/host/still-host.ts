import { type Controller, createController } from '../../lib/engine/controller';
import { carryOver, freshRun, rebuilt } from '../../lib/engine/fresh';
import { watchPlant } from '../../lib/engine/plant';
import type { Command, Event, Input, Order, Plant, Reading, ReadingFault, Reason, Run } from '../../lib/engine/types';
import { type Problem, problem } from '../../lib/problems';
import type { Recipe } from '../../lib/recipe/schema';
import type { Still } from '../../lib/still/schema';
import type { OrderMessage } from '../../lib/wire';
import { type CourseFollower, followCourse, keepCourse } from '../report/alcohol-course';
import type { Committed, Journal, Stored } from '../store';
import { createClock, type EngineClock } from './clock';
import type { JarChanger } from './development';
import { followedBy } from './follow';
import { beginRun, orderOf, plantFor, refusalOf } from './run-start';
import { summarise } from './summary';

export { plantFor };

/** What a still's turn came to: what the host writes down, announces and commands. */
export interface Turn {
  readonly input: Input;
  readonly commands: readonly Command[];
  readonly events: readonly Event[];
}

export interface StillHostOptions {
  readonly still: Still;
  readonly recipes: readonly Recipe[];
  readonly speed: number;
  readonly journal: Journal;
  readonly wallClockMs: () => number;
  readonly monotonicMs?: () => number;
  /** A run that an earlier process left open, rebuilt from the journal. */
  readonly resumed: { readonly runId: string; readonly plant: Plant; readonly run: Run } | null;
  /** Words for a refusal; its code if left out. */
  readonly wordsOf?: (reason: Reason) => string;
  /** Changes jars of a development run by itself. */
  readonly jars?: JarChanger;
}

/** One still under the engine: readings and orders in, turns out. Knows the journal, but no transport. */
export interface StillHost {
  readonly still: Still;
  readonly recipes: readonly Recipe[];
  readonly plant: Plant;
  readonly run: Run;
  readonly runId: string | null;
  /** Wall time at which the present phase or state began [ms]. */
  readonly sinceMs: number;
  /** Engine seconds a second. */
  readonly speed: number;
  readonly hasWork: boolean;
  now(): number;
  /** A reading with the monotonic instant of its arrival [ms]. */
  put(point: string, value: number | null, fault: ReadingFault | undefined, arrivalMs: number): void;
  /** Takes an order in; problems that can be told at once come back, the engine's own answer is an event. */
  order(message: OrderMessage, from: Order['from'], id: string): readonly Problem[];
  /** Scans what has arrived. */
  turn(): Turn;
  /** After the commit of a turn: ends the run in the record when it is over. */
  settle(): Committed | null;
  /** Takes up a run that was left open, where none runs: for a record that could be opened late. */
  adopt(resumed: NonNullable<StillHostOptions['resumed']>): boolean;
  /** Goes on as after a restart, held, where what the drives were told is not known any more; all before must be written. */
  rebuild(): Stored<null>;
  /** Ends the run in the record while the still cools: nothing more can be decided. False where it is not cooling. */
  conclude(): boolean;
}

/** A checkpoint is written this often, so that a restart need not fold the whole run [engine s]. */
const checkpointEveryS = 300;

/** Readings and orders that came since the last scan, within the bounds of the engine's own queue. */
const waitingLimit = 4096;

export function createStillHost(options: StillHostOptions): StillHost {
  const { still, recipes, journal, wallClockMs, speed, monotonicMs } = options;
  const wordsOf = options.wordsOf ?? ((reason: Reason) => reason.code);
  let runId = options.resumed?.runId ?? null;
  let controller: Controller =
    options.resumed === null
      ? createController(watchPlant(still), freshRun(0))
      : createController(options.resumed.plant, options.resumed.run);
  let clock: EngineClock = createClock(speed, controller.run.now, monotonicMs);
  let sinceMs = wallClockMs();
  let checkpointAtS = controller.run.now;
  /** The run is over and its end waits to be written: nothing more may be added to its record. */
  let isEnding = false;
  /** null where the run began before this process did: its course is then folded when it is asked for. */
  let follower: CourseFollower | null = null;
  let readings: Reading[] = [];
  let orders: Order[] = [];

  const accept = (order: Order): void => {
    controller.order(order);
    orders.push(order);
    if (orders.length > waitingLimit) orders = orders.slice(0, waitingLimit);
  };

  /** Another run takes the place of this one; what has arrived and was not scanned yet is for the new one. */
  const change = (next: Controller): void => {
    controller = next;
    for (const reading of readings) controller.put(reading);
    for (const order of orders) controller.order(order);
  };

  function start(message: Extract<OrderMessage, { order: 'start' }>, order: Order): readonly Problem[] {
    if (runId !== null) {
      const remedy = 'Stop it and let it cool down, or order reset';
      return [problem('order', 'start', `run ${runId} is not over (${controller.run.state})`, remedy)];
    }
    const checked = plantFor(still, recipes, message);
    if (checked.kind === 'bad') return checked.problems;
    const followed = followedBy(journal, checked.value);
    const plant: Plant = followed === null ? checked.value : { ...checked.value, profile: followed.profile };
    const initial = carryOver(plant, controller.run);
    const refused = refusalOf(plant, initial, { now: clock.now(), readings, orders }, order);
    if (refused !== null) return [problem('order', 'start', wordsOf(refused), 'See to it and order again')];
    const begun = beginRun(journal, still.id, wallClockMs(), {
      plant,
      initial,
      about: {
        by: order.by,
        speed,
        ...(followed === null ? {} : { follows: followed.runId }),
        ...(message.jars === undefined ? {} : { jars: message.jars }),
      },
    });
    if (begun.kind === 'failed') {
      return [
        problem('order', 'start', `the record cannot be written: ${begun.failure.message}`, begun.failure.remedy),
      ];
    }
    runId = begun.value;
    follower = followCourse(plant);
    change(createController(plant, initial));
    accept(order);
    return [];
  }

  function end(outcome: string): Committed {
    const { run, plant } = controller;
    const committed =
      isEnding || runId === null ? journal.commit() : journal.endRun(runId, outcome, summarise(plant, run));
    isEnding = committed.kind === 'failed';
    if (isEnding) return committed;
    if (runId !== null && plant.charge !== null) keepFollowed(runId);
    runId = null;
    return committed;
  }

  /** A course that cannot be written is folded from the readings later; the run is over either way. */
  function keepFollowed(ended: string): void {
    const run = follower === null ? null : journal.run(ended);
    if (run?.kind === 'ok' && !run.value.lost && follower !== null) keepCourse(journal, run.value, follower.course);
    follower = null;
  }

  return {
    still,
    recipes,
    speed,
    get plant() {
      return controller.plant;
    },
    get run() {
      return controller.run;
    },
    get runId() {
      return runId;
    },
    get sinceMs() {
      return sinceMs;
    },
    get hasWork() {
      return readings.length + orders.length > 0;
    },
    now: () => clock.now(),
    put(point, value, fault, arrivalMs) {
      const reading: Reading = {
        point,
        value,
        atS: Math.max(0, clock.at(arrivalMs)),
        ...(fault === undefined ? {} : { fault }),
      };
      controller.put(reading);
      readings.push(reading);
      if (readings.length > waitingLimit) readings = readings.slice(waitingLimit >> 1);
    },
    order(message, from, id) {
      const order = orderOf(message, from, id);
      if (message.order === 'start') return start(message, order);
      accept(order);
      return [];
    },
    turn() {
      const nextJar = isEnding ? null : (options.jars?.due(controller.plant, controller.run, runId) ?? null);
      if (nextJar !== null) accept(nextJar);
      readings = [];
      orders = [];
      const { input, commands, events } = controller.scan(clock.now());
      if (events.some((event) => event.kind === 'phase' || event.kind === 'state')) sinceMs = wallClockMs();
      if (runId !== null && !isEnding) {
        journal.append(runId, input, { events, commands });
        follower?.note(controller.run);
        const decided = events.some((event) => event.kind === 'phase' || event.kind === 'state');
        if (decided || input.now - checkpointAtS >= checkpointEveryS) {
          journal.checkpoint(runId, controller.run);
          checkpointAtS = input.now;
        }
      }
      return { input, commands, events };
    },
    settle() {
      if (runId === null) return null;
      const { run } = controller;
      if (isEnding || isOver(run)) return end(run.state === 'idle' ? 'reset' : run.state);
      return run.startedAtS === null && orders.length === 0 ? end('refused') : null;
    },
    conclude() {
      return runId !== null && isCooling(controller.run) && end(outcomeOf(controller.run)).kind === 'ok';
    },
    adopt(resumed) {
      if (runId !== null) return false;
      runId = resumed.runId;
      follower = null;
      clock = createClock(speed, resumed.run.now, monotonicMs);
      // What waits was dated by the other clock.
      readings = [];
      change(createController(resumed.plant, resumed.run));
      checkpointAtS = resumed.run.now;
      return true;
    },
    rebuild() {
      if (runId === null || isEnding) return { kind: 'ok', value: null };
      const continued = journal.continueRun(runId);
      if (continued.kind === 'failed') return continued;
      change(createController(controller.plant, rebuilt(controller.plant, controller.run)));
      journal.checkpoint(runId, controller.run);
      return continued;
    },
  };
}

function outcomeOf(run: Run): string {
  return run.state === 'running' ? 'complete' : run.state;
}

function isCooling(run: Run): boolean {
  return run.phase === 'cool-down' && run.step < 0;
}

function isOver(run: Run): boolean {
  return run.phase === 'idle' && run.startedAtS !== null && run.state !== 'running' && run.state !== 'held';
}
