import { describe, it } from 'vitest';
import { throwGarbage } from '../tools/fuzz-campaign';
import { bench, sameAgain, wait } from '../tools/live-run';
import { needs } from '../tools/need';

const speed = 60;
/** Somebody who pressed the button counts as being there for 1,200 s of the still: until then orders from elsewhere could be obeyed. */
const attendedMs = (1_200_000 / speed) * 1.05;

describe.skipIf(!needs('mosquitto'))('twenty thousand payloads of garbage', () => {
  it('break nothing, move nothing, and leave no memory behind', async (context) => {
    const { expect } = context;
    const { broker, live } = bench(context);
    const { url } = await broker();
    const run = await live({ url, speed });
    const { room } = run;
    run.start();
    await run.heat();
    const pressedMs = performance.now();
    const readings = await throwGarbage({ run, url, count: 14_000, seed: 3, orderShare: 0, perS: 1500 });
    await wait(Math.max(0, attendedMs - (performance.now() - pressedMs)));
    const mixed = await throwGarbage({ run, url, count: 8000, seed: 4, orderShare: 0.5, perS: 2000 });
    console.info(
      [readings, mixed]
        .map(
          ({ payloads, orders, tookS, residentMB: { before, most, after } }) =>
            `${payloads} payloads (${orders} orders) in ${tookS.toFixed(1)} s: ${before.toFixed(0)} → ${most.toFixed(0)} → ${after.toFixed(0)} MB`,
        )
        .join('\n'),
    );
    expect([...readings.complaints, ...mixed.complaints]).toEqual([]);
    expect(mixed.refusals).toBeGreaterThan(50);
    expect(readings.events).toBeGreaterThan(100);
    expect(Math.max(readings.residentMB.most, mixed.residentMB.most)).toBeLessThan(readings.residentMB.before + 150);
    await room.until(
      'the probe is believed again',
      () =>
        room.heard.findLast(({ topic }) => topic.endsWith('point/vapour'))?.text.includes('"quality":"good"') === true,
    );
    expect(await run.daemon().end()).toBe(0);
    expect(await run.record(sameAgain)).toEqual({ replay: 'same', chain: 'whole' });
  });
});
