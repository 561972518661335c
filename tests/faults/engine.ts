import { isDeepStrictEqual } from 'node:util';
import { alarmsOf, type Watched } from '../../lib/alarms/life-cycle';
import type { Hazard } from '../../lib/alarms/rule';
import { rebuilt } from '../../lib/engine/fresh';
import { scan } from '../../lib/engine/scan';
import type { Command, Event, Input, Order, Plant, Reading, Run, ScanResult } from '../../lib/engine/types';
import type { RigController } from '../../simulators/rig';

/** A run that wants something the record does not let it have is held after this [s], as the daemon does. */
const waitForRecordS = 3;

/** The engine as a host holds it, with what a test needs to see: the run before and after each scan. */
export interface TestEngine extends RigController {
  readonly plant: Plant;
  readonly run: Run;
  readonly before: Run;
  /** Commands and events of the last scan, all of them, also those that could not leave. */
  readonly last: ScanResult | null;
  /** Engine time less site time: the run's clock stands while nobody keeps it. */
  readonly behindS: number;
  /** Nobody scans while it is frozen: readings and orders wait, and are all taken by the next scan. */
  isFrozen: boolean;
  /** Nothing can be written down: only what makes things safer, and repetitions, may leave. */
  isDiskFull: boolean;
  /** A decision waits to be written down before its command may leave. */
  readonly isWaiting: boolean;
  /** Killed, and started again some seconds later from what was written down. */
  restart(deadForS: number): void;
  /** Scans the last input again and tells whether the very same comes out. */
  isRepeatable(): boolean;
}

interface Withheld {
  readonly command: Command;
  readonly sinceS: number;
}

const nothing: { readonly commands: readonly Command[]; readonly events: readonly Event[] } = {
  commands: [],
  events: [],
};

export function createEngine(plant: Plant, start: Run): TestEngine {
  let run = start;
  let before = start;
  let behindS = 0;
  let readings: Reading[] = [];
  let orders: Order[] = [];
  let lastInput: Input | null = null;
  let last: ScanResult | null = null;
  let withheld: Record<string, Withheld> = {};

  const restart = (deadForS: number): void => {
    run = rebuilt(plant, JSON.parse(JSON.stringify(run)) as Run);
    before = run;
    behindS += deadForS;
    readings = [];
    orders = [];
    withheld = {};
    lastInput = null;
    last = null;
  };

  /** What may leave while nothing can be written down, as the daemon's host decides it. */
  const pass = (commands: readonly Command[], isFull: boolean, now: number): readonly Command[] => {
    if (!isFull) return release(commands, now);
    return commands.filter((command) => {
      const waits = withheld[command.drive];
      const isFree = command.safe || (command.repeat && waits === undefined);
      if (isFree) delete withheld[command.drive];
      else if (waits === undefined || !command.repeat)
        withheld[command.drive] = { command, sinceS: waits?.sinceS ?? now };
      return isFree;
    });
  };

  const isOverdue = (now: number): boolean =>
    Object.values(withheld).some(({ sinceS }) => now - sinceS > waitForRecordS);

  const release = (commands: readonly Command[], now: number): readonly Command[] => {
    const kept = Object.values(withheld).map(({ command }) => command);
    if (kept.length === 0) return commands;
    if (!isOverdue(now)) {
      withheld = {};
      return [...kept, ...commands];
    }
    restart(0);
    return commands.filter(({ safe }) => safe);
  };

  return {
    plant,
    isFrozen: false,
    isDiskFull: false,
    get run() {
      return run;
    },
    get before() {
      return before;
    },
    get last() {
      return last;
    },
    get behindS() {
      return behindS;
    },
    get isWaiting() {
      return Object.keys(withheld).length > 0;
    },
    put(reading) {
      readings.push({ ...reading, atS: reading.atS - behindS });
    },
    order(order) {
      orders.push(order);
    },
    scan(siteS) {
      if (this.isFrozen) return nothing;
      const now = siteS - behindS;
      if (this.isDiskFull && run.state === 'running' && run.step >= 0 && isOverdue(now)) {
        orders.push({
          id: 'record',
          kind: 'hold',
          by: 'the daemon',
          from: 'still',
          text: 'the record cannot be written',
        });
      }
      const input = { now, readings, orders };
      const result = scan(plant, run, input);
      before = run;
      run = result.run;
      lastInput = input;
      last = result;
      readings = [];
      orders = [];
      const commands = pass(result.commands, this.isDiskFull, now);
      if (behindS === 0) return { events: result.events, commands };
      const shifted = commands.map((one) => ({ ...one, issuedAtS: one.issuedAtS + behindS }));
      return { events: result.events, commands: shifted };
    },
    restart,
    isRepeatable: () => lastInput === null || isDeepStrictEqual(scan(plant, before, lastInput), last),
  };
}

/**
 * Takes every alarm of a hazard out of this plant's engine, for canaries and for trying one detector alone. The list of a
 * still's alarms is worked out once and kept by the still's identity, so nothing else notices.
 *
 * @returns the names of the rules taken out
 */
export function removeAlarms(
  plant: Plant,
  isRemoved: (id: string, hazards: readonly Hazard[]) => boolean,
): readonly string[] {
  const all = alarmsOf(plant) as Watched[];
  const out = all.filter(({ rule }) => isRemoved(rule.id, rule.hazards));
  all.splice(0, all.length, ...all.filter((one) => !out.includes(one)));
  return [...new Set(out.map(({ rule }) => rule.id))];
}
