import { scan } from './scan';
import type { Input, Order, Plant, Reading, Run, ScanResult } from './types';

/** Readings and orders that may wait for one scan; beyond it the oldest are dropped, and that is an event. */
const waitingLimit = 4096;

/** The engine with its memory: readings and orders are put in, a scan takes them all. No clock of its own. */
export interface Controller {
  readonly plant: Plant;
  readonly run: Run;
  put(reading: Reading): void;
  order(order: Order): void;
  /** Scans everything that has arrived; `input` is what the record keeps. */
  scan(now: number): ScanResult & { readonly input: Input };
}

export function createController(plant: Plant, start: Run): Controller {
  let run = start;
  let readings: Reading[] = [];
  let orders: Order[] = [];
  let dropped = 0;
  return {
    plant,
    get run() {
      return run;
    },
    put(reading) {
      readings.push(reading);
      if (readings.length > waitingLimit) {
        readings = readings.slice(waitingLimit >> 1);
        dropped += waitingLimit >> 1;
      }
    },
    order(order) {
      if (orders.length < waitingLimit) orders.push(order);
      else dropped += 1;
    },
    scan(now) {
      const input: Input = { now: Math.max(now, run.now), readings, orders, ...(dropped > 0 ? { dropped } : {}) };
      const result = scan(plant, run, input);
      run = result.run;
      readings = [];
      orders = [];
      dropped = 0;
      return { ...result, input };
    },
  };
}
