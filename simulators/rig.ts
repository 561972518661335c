import type { Command, Event, Order, Reading } from '../lib/engine/types';
import type { FaultPlan } from './faults';
import { createLogBook, type LogBook, logToCsv } from './log';
import { type Balance, balanceOf, type FractionTruth, fractionsOf, type StillSpec, type Truth, truthOf } from './model';
import { createOperator, type OperatorHabits, watchfulOperator } from './operator';
import { createSite, type Site } from './site';

/** What the rig needs of an engine: readings and orders in, a scan, commands and events out. */
export interface RigController {
  put(reading: Reading): void;
  order(order: Order): void;
  scan(now: number): { readonly commands: readonly Command[]; readonly events: readonly Event[] };
}

/** What passed in one scan, with the site as it really was. */
export interface Moment {
  readonly atS: number;
  readonly site: Site;
  readonly readings: readonly Reading[];
  readonly orders: readonly Order[];
  readonly commands: readonly Command[];
  readonly events: readonly Event[];
}

export interface RigOptions {
  readonly spec: StillSpec;
  readonly controller: RigController;
  /** Seed of everything that is random at the site. */
  readonly seed: number;
  readonly faults?: readonly FaultPlan[];
  readonly operator?: Partial<OperatorHabits>;
  /** Length of a step and spacing of the scans [s]. */
  readonly dtS?: number;
  /** Spacing of the log's rows [s]; 0 keeps no log. */
  readonly logEveryS?: number;
  /** Called after every scan; for invariants. */
  readonly watch?: (moment: Moment) => void;
}

/** A change of phase with the truth behind it. */
export interface CutTruth {
  readonly event: Extract<Event, { kind: 'phase' }>;
  readonly truth: Truth;
}

export interface RigResult {
  readonly seconds: number;
  readonly columns: readonly string[];
  /** Rows of the log: time first, then a cell a column. */
  readonly rows: LogBook['rows'];
  readonly csv: string;
  readonly events: readonly Event[];
  /** Commands as they were given, repetitions left out. */
  readonly commands: readonly Command[];
  /** What stands in each receiver: volume, strength, litres of pure alcohol; minor compounds as predictions. */
  readonly fractions: Readonly<Record<string, FractionTruth>>;
  readonly cuts: readonly CutTruth[];
  readonly truth: Truth;
  readonly balance: Balance;
}

/** A simulated site under an engine, in virtual time. */
export interface Rig {
  readonly site: Site;
  /** Runs for some seconds more, or until `until` says so. */
  run(seconds: number, until?: (moment: Moment) => boolean): void;
  /** Another engine takes over, e.g. one rebuilt after a crash; null is none: the site runs on alone. */
  replaceController(controller: RigController | null): void;
  /** An order on top of the operator's own. */
  order(order: Order): void;
  result(): RigResult;
}

/** Sets a site up under an engine. */
export function createRig(options: RigOptions): Rig {
  const { spec, seed, dtS = 1, logEveryS = 5, watch } = options;
  const site = createSite({ spec, seed, ...(options.faults === undefined ? {} : { faults: options.faults }) });
  const operator = createOperator({ ...watchfulOperator, ...options.operator });
  const log = createLogBook(spec.still);
  const events: Event[] = [];
  const commands: Command[] = [];
  const cuts: CutTruth[] = [];
  let controller: RigController | null = options.controller;
  let nextRowS = 0;
  let extra: Order[] = [];

  const keepLog = (readings: readonly Reading[]): void => {
    if (logEveryS <= 0) return;
    log.note(readings);
    if (site.state.atS < nextRowS) return;
    log.close(site.state.atS);
    nextRowS = site.state.atS + logEveryS;
  };

  const give = (orders: readonly Order[]): void => {
    for (const order of orders) {
      if (order.kind === 'attend') site.attend();
      if (order.kind === 'spout-moved' && order.target !== undefined) site.moveSpout(order.target);
      controller?.order(order);
    }
  };

  const keepDecisions = (made: readonly Event[], given: readonly Command[]): void => {
    for (const event of made) {
      events.push(event);
      if (event.kind === 'phase') cuts.push({ event, truth: truthOf(site.state) });
    }
    for (const command of given) if (!command.repeat) commands.push(command);
  };

  const once = (): Moment => {
    const readings = site.advance(dtS);
    const atS = site.state.atS;
    keepLog(readings);
    for (const reading of readings) controller?.put(reading);
    const orders = [...operator.act(atS), ...extra];
    extra = [];
    give(orders);
    const scanned = controller?.scan(atS) ?? { commands: [], events: [] };
    site.obey(scanned.commands);
    operator.hear(scanned.events, atS);
    keepDecisions(scanned.events, scanned.commands);
    return { atS, site, readings, orders, commands: scanned.commands, events: scanned.events };
  };

  return {
    site,
    run(seconds, until) {
      const endS = site.state.atS + seconds;
      while (site.state.atS < endS - dtS / 2) {
        const moment = once();
        watch?.(moment);
        if (until?.(moment) === true) return;
      }
    },
    replaceController(next) {
      controller = next;
    },
    order(order) {
      extra.push(order);
    },
    result: () => ({
      seconds: site.state.atS,
      columns: log.columns,
      rows: log.rows,
      get csv() {
        return logToCsv(log);
      },
      events,
      commands,
      fractions: fractionsOf(site.state),
      cuts,
      truth: truthOf(site.state),
      balance: balanceOf(site.state),
    }),
  };
}

/** Runs a site under an engine for some seconds and gives everything that came of it. */
export function runRig(options: RigOptions & { readonly seconds: number }): RigResult {
  const rig = createRig(options);
  rig.run(options.seconds);
  return rig.result();
}
