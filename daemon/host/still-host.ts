import { type Controller, createController } from '../../lib/engine/controller';
import { carryOver, freshRun } from '../../lib/engine/fresh';
import { compilePlant, watchPlant } from '../../lib/engine/plant';
import type { Charge, Command, Event, Input, Order, Plant, Reading, ReadingFault, Run } from '../../lib/engine/types';
import { type Checked, type Problem, problem } from '../../lib/problems';
import type { Recipe } from '../../lib/recipe/schema';
import type { Still } from '../../lib/still/schema';
import type { OrderMessage } from '../../lib/wire';
import type { Committed, Journal } from '../store';
import { createClock, type EngineClock } from './clock';
import { summarise } from './summary';

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
  /** Ends the run in the record while the still cools: nothing more can be decided. False where it is not cooling. */
  conclude(): boolean;
}

/** A checkpoint is written this often, so that a restart need not fold the whole run [engine s]. */
const checkpointEveryS = 300;

export function createStillHost(options: StillHostOptions): StillHost {
  const { still, recipes, journal, wallClockMs, speed } = options;
  const { monotonicMs } = options;
  let runId = options.resumed?.runId ?? null;
  let controller: Controller =
    options.resumed === null
      ? createController(watchPlant(still), freshRun(0))
      : createController(options.resumed.plant, options.resumed.run);
  const clock: EngineClock = createClock(speed, controller.run.now, monotonicMs);
  let sinceMs = wallClockMs();
  let waiting = 0;
  let checkpointAtS = controller.run.now;

  const accept = (order: Order): void => {
    controller.order(order);
    waiting += 1;
  };

  function start(message: Extract<OrderMessage, { order: 'start' }>, order: Order): readonly Problem[] {
    if (runId !== null) {
      const remedy = 'Stop it and let it cool down, or order reset';
      return [problem('order', 'start', `run ${runId} is not over (${controller.run.state})`, remedy)];
    }
    const plant = plantFor(still, recipes, message);
    if (plant.kind === 'bad') return plant.problems;
    const initial = carryOver(plant.value, controller.run);
    const startedAtMs = wallClockMs();
    const id = `${still.id}-${new Date(startedAtMs).toISOString().replace(/[-:]/g, '').replace('T', '-').slice(0, 15)}`;
    const begun = journal.beginRun({
      runId: id,
      plant: plant.value,
      initial,
      startedAtMs,
      about: { by: order.by, speed },
    });
    if (begun.kind === 'failed') {
      return [
        problem('order', 'start', `the record cannot be written: ${begun.failure.message}`, begun.failure.remedy),
      ];
    }
    runId = id;
    controller = createController(plant.value, initial);
    accept(order);
    return [];
  }

  return {
    still,
    recipes,
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
      return waiting > 0;
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
      waiting += 1;
    },
    order(message, from, id) {
      const order = orderOf(message, from, id);
      if (message.order === 'start') return start(message, order);
      accept(order);
      return [];
    },
    turn() {
      waiting = 0;
      const { input, commands, events } = controller.scan(clock.now());
      if (events.some((event) => event.kind === 'phase' || event.kind === 'state')) sinceMs = wallClockMs();
      if (runId !== null) {
        journal.append(runId, input, { events, commands });
        const decided = events.some((event) => event.kind === 'phase' || event.kind === 'state');
        if (decided || input.now - checkpointAtS >= checkpointEveryS) {
          journal.checkpoint(runId, controller.run);
          checkpointAtS = input.now;
        }
      }
      return { input, commands, events };
    },
    settle() {
      if (runId === null || !isOver(controller.run)) return null;
      const { run, plant } = controller;
      const outcome = run.state === 'idle' ? 'reset' : run.state;
      const committed = journal.endRun(runId, outcome, summarise(plant, run));
      if (committed.kind === 'ok') runId = null;
      return committed;
    },
    conclude() {
      const { run, plant } = controller;
      if (runId === null || !isCooling(run)) return false;
      const outcome = run.state === 'running' ? 'complete' : run.state;
      if (journal.endRun(runId, outcome, summarise(plant, run)).kind === 'failed') return false;
      runId = null;
      return true;
    },
  };
}

function isCooling(run: Run): boolean {
  return run.phase === 'cool-down' && run.step < 0;
}

function isOver(run: Run): boolean {
  return run.phase === 'idle' && run.startedAtS !== null && run.state !== 'running' && run.state !== 'held';
}

function orderOf(message: OrderMessage, from: Order['from'], id: string): Order {
  const target = 'target' in message ? message.target : undefined;
  const forS = 'forS' in message ? message.forS : undefined;
  return {
    id,
    kind: message.order,
    by: message.by ?? (from === 'still' ? 'at the still' : 'remote'),
    from,
    ...(target === undefined ? {} : { target }),
    ...(forS === undefined ? {} : { forS }),
    ...(message.text === undefined ? {} : { text: message.text }),
  };
}

/** The plant an order to start asks for, or everything that is wrong with it. */
export function plantFor(
  still: Still,
  recipes: readonly Recipe[],
  message: Extract<OrderMessage, { order: 'start' }>,
): Checked<Plant> {
  const names = recipes.map((recipe) => recipe.name).join(', ');
  const recipe =
    message.recipe === undefined && recipes.length === 1
      ? recipes[0]
      : recipes.find((one) => one.name === message.recipe);
  const problems: Problem[] = [];
  if (recipe === undefined) {
    const remedy = names === '' ? 'Name recipe files under this still in the configuration' : `Use one of ${names}`;
    problems.push(
      problem(
        'recipe',
        message.recipe,
        message.recipe === undefined ? 'is missing' : 'is no recipe of this still',
        remedy,
      ),
    );
  }
  if ((message.chargeL === undefined) !== (message.chargeVolPercent === undefined)) {
    const path = message.chargeL === undefined ? 'chargeL' : 'chargeVolPercent';
    problems.push(problem(path, undefined, 'is missing', 'Give volume and strength of the charge together'));
  }
  if (recipe === undefined || problems.length > 0) return { kind: 'bad', problems };
  const charge: Charge | null =
    message.chargeL === undefined || message.chargeVolPercent === undefined
      ? null
      : { volumeL: message.chargeL, strengthAbv: message.chargeVolPercent / 100 };
  return compilePlant(still, recipe, message.variant ?? null, charge);
}
