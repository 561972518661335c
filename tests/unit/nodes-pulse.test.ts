import { describe, expect, it } from 'vitest';
import { createPulse, readingGapMs } from '../../nodes/shared/pulse';
import { createVirtualTimers } from '../tools/node-red-virtual';

describe('pulse', () => {
  it('beats at least once in a period, also when readings beat in between', async () => {
    const timers = createVirtualTimers();
    const beats: number[] = [];
    const joined = createPulse(timers).join({ periodMs: 1000, beat: () => beats.push(timers.nowMs()) });
    for (let at = 0; at < 20; at += 1) {
      await timers.advance(730);
      if (at % 3 === 0) joined.readingsCame();
    }
    const gaps = beats.slice(1).map((atMs, index) => atMs - beats[index]!);
    expect(Math.max(...gaps)).toBeLessThanOrEqual(1250);
    expect(beats.length).toBeGreaterThan(13);
  });

  it('lets readings wait for the gap, and orders not', async () => {
    const timers = createVirtualTimers();
    const beats: number[] = [];
    const joined = createPulse(timers).join({ periodMs: 1000, beat: () => beats.push(timers.nowMs()) });
    await timers.advance(500);
    joined.readingsCame();
    joined.readingsCame();
    await timers.advance(0);
    expect(beats).toEqual([500]);
    joined.readingsCame();
    await timers.advance(readingGapMs - 1);
    expect(beats).toEqual([500]);
    joined.orderCame();
    await timers.advance(0);
    expect(beats).toEqual([500, 549]);
    await timers.advance(readingGapMs);
    expect(beats).toEqual([500, 549]);
  });

  it('keeps no timer when the last has left, and calls nobody who left', async () => {
    const timers = createVirtualTimers();
    const pulse = createPulse(timers);
    let beats = 0;
    const first = pulse.join({ periodMs: 1000, beat: () => (beats += 1) });
    const second = pulse.join({ periodMs: 100, beat: () => (beats += 1) });
    await timers.advance(1000);
    const before = beats;
    expect(before).toBeGreaterThanOrEqual(9);
    first.orderCame();
    second.readingsCame();
    first.leave();
    second.leave();
    await timers.advance(5000);
    expect(beats).toBe(before);
    expect(pulse.size).toBe(0);
  });

  it('gives simulated stills of a speed one clock, which stands still while the computer is busy', async () => {
    const timers = createVirtualTimers();
    const pulse = createPulse(timers);
    const [sim, run] = [pulse.clock(10), pulse.clock(10)];
    const joined = pulse.join({ periodMs: 100, beat: () => {} });
    await timers.advance(1000);
    expect(sim()).toBe(run());
    expect(sim()).toBeCloseTo(1000, -2);
    const before = sim();
    timers.sleep(5000);
    expect(sim()).toBe(before);
    await timers.advance(25);
    // Two seconds of simulated time at ten times the speed are 200 ms, and the tick itself.
    expect(sim() - before).toBeLessThanOrEqual(226);
    joined.leave();
    expect(pulse.clock(1)()).toBe(timers.nowMs());
  });

  it('holds simulated time while something is being written, and while messages are on their way', async () => {
    const timers = createVirtualTimers();
    const pulse = createPulse(timers);
    const clock = pulse.clock(100);
    const joined = pulse.join({ periodMs: 10, beat: () => {} });
    await timers.advance(100);
    let written = () => {};
    joined.waitFor(new Promise<void>((done) => (written = done)));
    const before = clock();
    await timers.advance(500);
    expect(clock()).toBe(before);
    written();
    await timers.advance(20);
    expect(clock()).toBeGreaterThan(before);
    expect(clock() - before).toBeLessThanOrEqual(40);
    joined.waitFor(Promise.reject(new Error('disk full')));
    await timers.advance(100);
    expect(clock() - before).toBeGreaterThan(50);
    joined.leave();
  });
});
