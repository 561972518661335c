import {
  type Charge,
  type Command,
  type Controller,
  carryOver,
  compilePlant,
  createController,
  type Event,
  freshRun,
  type Input,
  type Order,
  type Plant,
  type Problem,
  type Reading,
  type Recipe,
  type Run,
  rebuilt,
  type Still,
  showProblem,
  watchPlant,
} from '../../lib';
import { allowedStates } from '../../lib/engine/orders';
import type { OrderMessage } from '../../lib/wire';
import { type Intake, orderOf } from './intake';
import type { Message } from './message-value';
import { type Trouble, trouble } from './troubles';

const mostUnscanned = 1024;

/** What a run would be started with now. */
export interface Offer {
  readonly recipe: Recipe | null;
  readonly variant: string | null;
  readonly charge: Charge | null;
  /** What is wrong with the recipe where there is none that can be used. */
  readonly unusable: string | null;
}

/** What is written down of a run, as plain JSON. */
export interface Saved {
  readonly version: 1;
  readonly plant: Plant;
  readonly run: Run;
}

export interface SessionSetup {
  readonly still: Still;
  /** Alarms only: no drive is ever commanded. */
  readonly watchOnly: boolean;
  readonly intake: Intake;
  /** Where orders that do not say it come from. */
  readonly from: Order['from'];
  readonly offer: () => Offer;
}

/** What became of a message. */
export type Outcome =
  | { readonly kind: 'taken'; readonly troubles: readonly Trouble[]; readonly good: readonly string[] }
  /** An order: it is answered by the next scan, under this id. */
  | { readonly kind: 'ordered'; readonly id: string }
  | { readonly kind: 'recipe'; readonly document: unknown }
  | { readonly kind: 'refused'; readonly trouble: Trouble };

export interface Scanned {
  readonly plant: Plant;
  readonly run: Run;
  readonly input: Input;
  readonly events: readonly Event[];
  readonly commands: readonly Command[];
}

/** A still as a node holds it: messages in, scans out. Pure but for its memory; time is handed in. */
export interface Session {
  readonly plant: Plant;
  readonly run: Run;
  take(message: Message, id: string, nowS: number, wallMs: number): Outcome;
  scan(nowS: number): Scanned;
  saved(): Saved;
  /** Commands that leave the drives safe when the node goes: heat off, take-off shut, second contactor open. */
  farewell(nowS: number): readonly Command[];
}

/** Whether a run is under way, so that its still and recipe may not be exchanged. */
export function isUnderWay(run: Run): boolean {
  return run.phase !== 'idle' || run.state === 'running' || run.state === 'held' || run.state === 'stopping';
}

function stillToWatch(setup: SessionSetup): Still {
  return setup.watchOnly ? { ...setup.still, drives: {} } : setup.still;
}

/** The controller to begin with: a run under way is held with the copies it has, anything else starts afresh on what is configured now. */
function begin(setup: SessionSetup, saved: Saved | null): Controller {
  const idle = watchPlant(stillToWatch(setup));
  if (saved === null) return createController(idle, freshRun(0));
  if (!setup.watchOnly && isUnderWay(saved.run)) return createController(saved.plant, rebuilt(saved.plant, saved.run));
  // What was seen before the stop is nobody's reading now, and every drive is told anew.
  return createController(idle, { ...exchanged(idle, saved.run), image: {}, drives: {} });
}

/** A run carried over to another plant; one that ended keeps its end, so that a trip can still be reset. */
function exchanged(plant: Plant, before: Run): Run {
  return { ...carryOver(plant, before), state: before.state, stateReason: before.stateReason };
}

/** The charge an order names, completed by what is configured. */
function chargeOf(said: OrderMessage, offer: Offer): Charge | null {
  if (said.order !== 'start') return offer.charge;
  const volumeL = said.chargeL ?? offer.charge?.volumeL;
  const percent = said.chargeVolPercent;
  const strengthAbv = percent === undefined ? offer.charge?.strengthAbv : percent / 100;
  return volumeL === undefined || strengthAbv === undefined ? null : { volumeL, strengthAbv };
}

export function createSession(setup: SessionSetup, saved: Saved | null): Session {
  let controller = begin(setup, saved);
  /** Readings the controller has not scanned yet: they go along when a start exchanges it. */
  let unscanned: Reading[] = [];

  /** Puts the plant together for a start; the trouble where that cannot be. */
  function prepare(said: OrderMessage): Trouble | null {
    const offer = setup.offer();
    const mayStart = allowedStates.start.includes(controller.run.state);
    if (setup.watchOnly || !mayStart) return null;
    if (offer.recipe === null)
      return offer.unusable === null ? null : trouble('order-refused', '', { order: 'start', why: offer.unusable });
    const named = said.order === 'start' ? said.recipe : undefined;
    if (named !== undefined && named !== offer.recipe.name)
      return trouble('order-recipe', '', { named, recipe: offer.recipe.name });
    const variant = (said.order === 'start' ? said.variant : undefined) ?? offer.variant;
    const compiled = compilePlant(setup.still, offer.recipe, variant, chargeOf(said, offer));
    if (compiled.kind === 'bad') {
      const problems = compiled.problems.filter((one: Problem) => one.severity === 'error');
      return trouble('order-refused', '', { order: 'start', why: problems.map(showProblem).join(' ') });
    }
    controller = createController(compiled.value, exchanged(compiled.value, controller.run));
    for (const reading of unscanned) controller.put(reading);
    return null;
  }

  function obey(said: OrderMessage, id: string, remote: boolean): Outcome {
    const unable = said.order === 'start' ? prepare(said) : null;
    if (unable !== null) return { kind: 'refused', trouble: unable };
    const order = orderOf(said, id, remote ? 'remote' : setup.from, controller.run.spoutAsked);
    controller.order(order);
    return { kind: 'ordered', id: order.id };
  }

  return {
    get plant() {
      return controller.plant;
    },
    get run() {
      return controller.run;
    },
    take(message, id, nowS, wallMs) {
      const taken = setup.intake.take(message, nowS, wallMs);
      switch (taken.kind) {
        case 'trouble':
          return { kind: 'refused', trouble: taken.trouble };
        case 'recipe':
          return taken;
        case 'order':
          return obey(taken.order, id, taken.remote);
        case 'readings':
          for (const reading of taken.readings) controller.put(reading);
          if (unscanned.length < mostUnscanned) unscanned.push(...taken.readings);
          return { kind: 'taken', troubles: taken.troubles, good: taken.good };
      }
    },
    scan(nowS) {
      const { run, input, events, commands } = controller.scan(nowS);
      unscanned = [];
      return { plant: controller.plant, run, input, events, commands };
    },
    saved: () => ({ version: 1, plant: controller.plant, run: controller.run }),
    farewell: (nowS) => farewellCommands(controller.plant, controller.run, nowS),
  };
}

function farewellCommands(plant: Plant, run: Run, nowS: number): Command[] {
  const leaves = ['heat', 'take-off', 'contactor'];
  return Object.entries(plant.still.drives).flatMap(([id, drive], index) => {
    if (!leaves.includes(drive.kind) || (drive.kind === 'heat' && drive.source === 'solid-fire')) return [];
    const known = run.drives[id];
    return [
      {
        id: `c${run.commandCount + 1 + index}`,
        drive: id,
        value: 0,
        issuedAtS: nowS,
        ttlS: drive.ttlS,
        repeat: known?.value === 0,
        safe: true,
        reason: { code: 'held.restart', numbers: {} },
      },
    ];
  });
}
