import type { ScanOutcome } from '../../daemon/store';
import { freshRun, type Input, type Order, type Plant, type Reason } from '../../lib';
import { plantOf } from './plants';

export const plant: Plant = plantOf();
export const header = (runId: string) => ({ runId, plant, initial: freshRun(0), startedAtMs: 1_760_000_000_000 });

const reason: Reason = { code: 'test', numbers: { tempC: 92.4 } };
export const nothing: ScanOutcome = { events: [], commands: [] };

export const reading = (now: number, vapourC = 78 + (now % 7) / 16): Input => ({
  now,
  readings: [{ point: 'vapour', value: vapourC, atS: now }],
  orders: [],
});

/** An outcome with one event and one command that open a receiver. */
export const decided = (atS: number, id = `c${atS}`): ScanOutcome => ({
  events: [{ kind: 'receiver', atS, reason, from: 'heads', to: 'hearts' }],
  commands: [{ id, drive: 'hearts-valve', value: 1, issuedAtS: atS, ttlS: 10, repeat: false, safe: false, reason }],
});

export const repeated = (atS: number): ScanOutcome => ({
  events: [],
  commands: [
    { id: `r${atS}`, drive: 'element', value: 1, issuedAtS: atS, ttlS: 10, repeat: true, safe: false, reason },
  ],
});

export const order: Order = { id: 'o1', kind: 'note', by: 'Ada', from: 'still', text: 'smells of pear' };

/** A clock the test moves. */
export function handClock() {
  let nowMs = 1000;
  return { clockMs: () => nowMs, pass: (seconds: number) => (nowMs += seconds * 1000) };
}
