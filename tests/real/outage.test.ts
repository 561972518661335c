import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { connectAsync } from 'mqtt';
import { describe, it } from 'vitest';
import { runMiddlecut } from '../tools/daemon-process';
import { bench, sameAgain, wait } from '../tools/live-run';
import { freePort, startMosquitto } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { openStillroom, writeStillroom } from '../tools/stillroom';

const owner = (command: { readonly id: string } | undefined) => command?.id.split('-')[0];

describe.skipIf(!needs('mosquitto'))('a broker that goes away', () => {
  it.concurrent('for long: the device takes the heat off, the run is held, and heat comes back by order alone', async (context) => {
    const { expect } = context;
    const { broker, live } = bench(context);
    const { url, stop, start } = await broker();
    // Dead-man 3 s of real time, fed every second.
    const { room, daemon, heat, record, ...run } = await live({ url, speed: 10 });
    run.start();
    await heat();
    await stop();
    await wait(4500);
    expect(room.heater).toMatchObject({ isOn: false, deadManTrips: 1 });
    expect(daemon().text()).toMatch(
      /WARNING broker offline[\s\S]*alarm link-silent raised: the broker was not heard for/,
    );
    const before = room.commands.length;
    await start();
    await room.until('told again', () => room.commands.length > before + 3, 15_000);
    await wait(1500);
    const after = room.commands.slice(before);
    expect(after.filter(({ drive, value }) => drive === 'element' && value !== 0)).toEqual([]);
    expect(after.some(({ drive, value }) => drive === 'element' && value === 0)).toBe(true);
    expect(Math.max(...room.commands.map(({ ageS }) => ageS))).toBeLessThan(1);
    expect(room.state()).toMatchObject({ state: 'held', reason: { text: 'held by the daemon' } });
    expect(room.alarm('link-silent')).toMatchObject({
      active: false,
      what: expect.stringMatching(/switched itself off/),
    });
    expect(room.events('alarm').map(({ alarm, transition }) => `${alarm} ${transition}`)).toEqual(
      expect.arrayContaining(['link-silent raised', 'link-silent returned']),
    );
    await room.attend();
    await room.order({ order: 'acknowledge' });
    expect(await room.order({ order: 'resume' })).toMatchObject({ accepted: true });
    await room.until('heat is on', () => room.heater.isOn);
    expect(await record(sameAgain)).toEqual({ replay: 'same', chain: 'whole' });
  });

  it.concurrent('for a moment: the run goes on, every drive is told again at once, and nothing old is delivered', async (context) => {
    const { expect } = context;
    const { broker, live } = bench(context);
    const { url, kill, start } = await broker();
    // Dead-man 15 s of real time: a gap of three seconds is bridged.
    const { room, daemon, heat, ...run } = await live({ url, speed: 2 });
    run.start();
    await heat();
    await kill();
    // Decided while nothing can be told: the coolant is asked for again and again by nobody; the valves stay where they are.
    await wait(800);
    const before = room.commands.length;
    await start();
    await daemon().until(/broker offline[\s\S]*broker online/);
    await room.until(
      'told again',
      () => room.commands.slice(before).some(({ drive }) => drive === 'tails-valve'),
      3000,
    );
    const again = room.commands.slice(before);
    expect(again.map(({ drive, value }) => `${drive} ${value}`).slice(0, 3)).toEqual([
      'coolant 1',
      'element 1',
      'heads-valve 1',
    ]);
    expect(Math.max(...again.map(({ ageS }) => ageS))).toBeLessThan(1);
    expect(room.state()?.state).toBe('running');
    expect(room.heater).toMatchObject({ isOn: true, deadManTrips: 0 });
  });

  it.concurrent('at the start: the daemon says so, waits, and tells heat off as soon as it can', async (context) => {
    const { expect } = context;
    const { broker, live, cleanUp } = bench(context);
    const port = await freePort();
    const folder = mkdtempSync(join(tmpdir(), 'middlecut-away-'));
    cleanUp.push(() => rmSync(folder, { recursive: true, force: true }));
    const { url, ...other } = await broker();
    // The devices are on a broker already; the daemon looks for one that is not there yet.
    const run = await live({ url, brokerUrl: `mqtt://127.0.0.1:${port}`, folder });
    const daemon = run.start();
    await daemon.until(/link: trouble: .*ECONNREFUSED/);
    await daemon.until(/serving Test pot/);
    await other.stop();
    const late = await startMosquitto({ port, lines: ['log_type none'] });
    cleanUp.push(late.remove);
    const room = await openStillroom({ url: `mqtt://127.0.0.1:${port}`, deadManMs: 30_000 });
    cleanUp.push(room.close);
    await daemon.until(/broker online/);
    await room.until(
      'heat off',
      () => room.commands.some(({ drive, value }) => drive === 'element' && value === 0),
      3000,
    );
    await room.until('idle', () => room.state()?.state === 'idle');
    expect(await daemon.end()).toBe(0);
  });
});

describe.skipIf(!needs('mosquitto'))('a probe gone wild', () => {
  it.concurrent('is heard as often as anybody could use it, and told as an alarm; the run goes on', async (context) => {
    const { expect } = context;
    const { heated } = bench(context);
    // 50 readings a second of the still's time are 250 of ours, with twice as many in reserve.
    const { room, daemon, record, url } = await heated({ speed: 5 });
    const wild = await connectAsync(url);
    context.onTestFinished(async () => wild.endAsync(true));
    for (let sent = 0; sent < 5000; sent += 1) wild.publish('probes/test-pot/vapour', '78.4');
    await room.until('the flood is told', () => room.alarm('feed-flooding')?.active === true);
    expect(room.alarm('feed-flooding')).toMatchObject({
      priority: 'medium',
      reason: { text: 'vapour sends more than 250 readings a second' },
    });
    expect(await room.order({ order: 'acknowledge' })).toMatchObject({ accepted: true });
    expect(room.state()).toMatchObject({ state: 'running', phase: 'heads' });
    expect(room.heater).toMatchObject({ isOn: true, deadManTrips: 0 });
    expect(
      daemon()
        .text()
        .match(/feed-flooding raised/g),
    ).toHaveLength(1);
    expect(await record(sameAgain)).toEqual({ replay: 'same', chain: 'whole' });
  });
});

describe.skipIf(!needs('mosquitto'))('a second daemon for the same stills', () => {
  it.concurrent('takes the place of the first, which commands nothing more and ends with 75', async (context) => {
    const { expect } = context;
    const { heated } = bench(context);
    const { room, daemon, start, record } = await heated({ speed: 5 });
    const first = daemon();
    const firstOwner = owner(room.commands.at(-1));
    const second = start();
    expect(await first.exited).toBe(75);
    expect(first.text()).toMatch(
      /ERROR another daemon of this group has taken the link: this one commands nothing more/,
    );
    await room.until(
      'the second tells heat off',
      () => owner(room.commands.at(-1)) !== firstOwner && !room.heater.isOn,
    );
    const turned = room.commands.findIndex((command) => owner(command) !== firstOwner);
    await wait(1500);
    expect(room.commands.slice(turned).filter((command) => owner(command) === firstOwner)).toEqual([]);
    expect(room.commands.slice(turned).filter(({ drive, value }) => drive === 'element' && value !== 0)).toEqual([]);
    expect(room.state()).toMatchObject({ state: 'held', phase: 'heads' });
    expect(await second.end()).toBe(0);
    expect(await record(sameAgain)).toEqual({ replay: 'same', chain: 'whole' });
  });

  it.concurrent('that finds the port of the embedded broker taken goes away again, and the first does not mind', async (context) => {
    const { expect } = context;
    const { live, cleanUp } = bench(context);
    const port = await freePort();
    const options = { url: `mqtt://127.0.0.1:${port}`, brokerUrl: null, port, speed: 5 };
    const folder = mkdtempSync(join(tmpdir(), 'middlecut-taken-'));
    cleanUp.push(() => rmSync(folder, { recursive: true, force: true }));
    const file = writeStillroom({ ...options, folder });
    const first = runMiddlecut(['serve', '--config', file]);
    cleanUp.push(() => first.end('SIGKILL'));
    await first.until(/serving Test pot/);
    const { room, heat } = await live({ ...options, folder });
    await heat();
    const second = runMiddlecut(['serve', '--config', file]);
    expect(await second.exited).toBe(1);
    expect(second.text()).toMatch(/something else listens there already/);
    await wait(500);
    expect(room.state()).toMatchObject({ state: 'running', phase: 'heads' });
    expect(room.heater.isOn).toBe(true);
    expect(first.child.exitCode).toBeNull();
  });
});
