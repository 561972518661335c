import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { LinkEvent } from '../../daemon/link';
import { createOutbox } from '../../daemon/link/outbox';

describe('a command the broker does not take', () => {
  beforeEach(() => {
    vi.useFakeTimers();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  function room() {
    const events: LinkEvent[] = [];
    const taken: ((error?: Error | null) => void)[] = [];
    let stuck = 0;
    const outbox = createOutbox({
      maxInFlight: 20,
      maxEvents: 10,
      maxRetained: 10,
      report: (event) => events.push(event),
      nowMs: () => Date.now(),
      onStuck: () => {
        stuck += 1;
      },
    });
    outbox.attach((_message, done) => taken.push(done));
    return { outbox, events, taken, stuck: () => stuck };
  }

  it('within its time to live has the connection broken off, so that it cannot arrive later', () => {
    const { outbox, events, stuck } = room();
    outbox.command('cmnd/heater', 'ON', 10_000);
    vi.advanceTimersByTime(9900);
    expect(stuck()).toBe(0);
    vi.advanceTimersByTime(300);
    expect(stuck()).toBe(1);
    expect(events).toEqual([{ kind: 'command-lost', topic: 'cmnd/heater', why: 'expired' }]);
  });

  it('in time does nothing of the kind, nor one whose acknowledgement was only unread while the process stood still', () => {
    const { outbox, events, taken, stuck } = room();
    outbox.command('cmnd/heater', 'ON', 10_000);
    vi.advanceTimersByTime(2000);
    taken[0]?.();
    outbox.command('cmnd/heater', 'ON', 10_000);
    vi.advanceTimersByTime(10_050);
    taken[1]?.();
    vi.advanceTimersByTime(60_000);
    expect(stuck()).toBe(0);
    expect(events).toEqual([]);
  });

  it('has a second at the least: a busy broker needs as long', () => {
    const { outbox, stuck } = room();
    outbox.command('cmnd/heater', 'ON', 50);
    vi.advanceTimersByTime(900);
    expect(stuck()).toBe(0);
    vi.advanceTimersByTime(300);
    expect(stuck()).toBe(1);
  });

  it('does not matter on a link that is gone meanwhile', () => {
    const { outbox, stuck } = room();
    outbox.command('cmnd/heater', 'ON', 10_000);
    outbox.detach();
    vi.advanceTimersByTime(60_000);
    expect(stuck()).toBe(0);
  });
});
