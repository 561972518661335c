import { mkdtempSync, rmSync } from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, it } from 'vitest';
import { runMiddlecut } from '../tools/daemon-process';
import { residentMB, throwGarbage } from '../tools/fuzz-campaign';
import { bench, sameAgain, wait } from '../tools/live-run';
import { freePort } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { randomOf } from '../tools/random';
import { rawGarbage, sendRaw } from '../tools/raw-garbage';
import { writeStillroom } from '../tools/stillroom';

const speed = 120;
/** Somebody who pressed the button counts as being there for 1,200 s of the still: until then orders from elsewhere could be obeyed. */
const attendedMs = (1_200_000 / speed) * 1.05;

async function untilListening(port: number): Promise<void> {
  for (let tries = 0; tries < 400; tries += 1) {
    const isOpen = await new Promise<boolean>((resolve) => {
      const socket = connect({ host: '127.0.0.1', port }, () => {
        socket.destroy();
        resolve(true);
      });
      socket.once('error', () => resolve(false));
    });
    if (isOpen) return;
    await wait(50);
  }
  throw new Error(`nobody listens on ${port}`);
}

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

describe('an embedded broker that is sent what is no MQTT', () => {
  it('lives on with the run it serves, on three thousand connections', async (context) => {
    const { expect } = context;
    const { live, cleanUp } = bench(context);
    const port = await freePort();
    const options = {
      url: `mqtt://127.0.0.1:${port}`,
      brokerUrl: null,
      port,
      speed: 5,
      config: { log: { level: 'error' } },
    };
    const folder = mkdtempSync(join(tmpdir(), 'middlecut-raw-'));
    cleanUp.push(() => rmSync(folder, { recursive: true, force: true }));
    const daemon = runMiddlecut(['serve', '--config', writeStillroom({ ...options, folder })]);
    cleanUp.push(() => daemon.end('SIGKILL'));
    await untilListening(port);
    const { room, heat } = await live({ ...options, folder });
    await heat();
    const before = residentMB(daemon.child.pid);
    const chance = randomOf(8);
    for (let round = 0; round < 150; round += 1) {
      await Promise.all(Array.from({ length: 20 }, () => sendRaw(port, rawGarbage(chance), 5)));
    }
    expect(daemon.child.exitCode).toBeNull();
    expect(await room.order({ order: 'note', text: 'still here' })).toMatchObject({ accepted: true });
    expect(room.state()).toMatchObject({ state: 'running', phase: 'heads' });
    expect(room.heater).toMatchObject({ isOn: true, deadManTrips: 0 });
    const after = residentMB(daemon.child.pid);
    console.info(`3000 connections of garbage: ${before.toFixed(0)} → ${after.toFixed(0)} MB`);
    expect(after - before).toBeLessThan(100);
    expect(await daemon.end()).toBe(0);
  });
});
