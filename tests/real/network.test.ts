import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, it } from 'vitest';
import { type Link, type LinkEvent, type LinkTarget, openLink } from '../../daemon/link';
import { makeCertificates } from '../tools/certificates';
import { mainFile, run } from '../tools/daemon-process';
import { bench, sameAgain, wait } from '../tools/live-run';
import { freePort, startMosquitto, until } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { canCutNetworks, makeNetwork, startFarMosquitto, type TestNetwork } from '../tools/network';

/** A device on the far host that tells when a command reached it. */
function listenFar(cleanUp: (() => unknown)[], network: TestNetwork, topic: string, ...more: readonly string[]) {
  const [command, args] = network.onFar(
    'mosquitto_sub',
    '-h',
    network.farHost,
    '-p',
    '1883',
    '-t',
    topic,
    '-q',
    '1',
    '-F',
    '%U %p',
    ...more,
  );
  const child: ChildProcess = spawn(command, args, { stdio: ['ignore', 'pipe', 'inherit'] });
  let text = '';
  child.stdout?.on('data', (chunk: Buffer) => {
    text += chunk.toString();
  });
  cleanUp.push(() => {
    child.kill('SIGKILL');
  });
  return {
    heard: () =>
      text
        .split('\n')
        .filter((line) => line !== '')
        .map((line) => {
          const [atS = '', payload = ''] = line.split(' ');
          return { atMs: Number(atS) * 1000, sentMs: Number(payload) };
        }),
  };
}

describe.skipIf(!canCutNetworks() || !needs('mosquitto') || !needs('mosquitto-clients') || !needs('openssl'))(
  'a network that is cut',
  () => {
    it.concurrent.for(['plain', 'encrypted'])(
      'delivers no command later than its time to live, over a %s link',
      async (how, context) => {
        const { expect } = context;
        const { cleanUp } = bench(context);
        const network = makeNetwork();
        cleanUp.push(network.remove);
        const folder = mkdtempSync(join(tmpdir(), 'middlecut-net-'));
        cleanUp.push(() => rmSync(folder, { recursive: true, force: true }));
        const certificates = makeCertificates(folder, network.farHost);
        const isTls = how === 'encrypted';
        const broker = await startFarMosquitto(
          network,
          isTls ? [`certfile ${certificates.certFile}`, `keyfile ${certificates.keyFile}`] : [],
        );
        cleanUp.push(broker.stop);
        const target: LinkTarget = {
          host: network.farHost,
          port: broker.port,
          tls: isTls ? { ca: certificates.ca, cert: null, key: null } : null,
          username: null,
          password: null,
        };
        const link: Link = openLink({ target, group: 'orchard', clientId: 'middlecut-orchard' });
        cleanUp.push(link.close);
        const events: LinkEvent[] = [];
        link.events.subscribe((event) => events.push(event));
        await until('online', () => link.status() === 'online', 10_000);
        const device = listenFar(cleanUp, network, 'cmnd/heater', ...(isTls ? ['--cafile', certificates.caFile] : []));
        const ttlMs = 2000;
        const say = () => link.command('cmnd/heater', String(Date.now()), ttlMs);
        await until('the device hears', () => say() === 'sent' && device.heard().length > 0, 10_000);
        network.cut();
        const cutMs = Date.now();
        // As a daemon does that has noticed nothing: it goes on feeding the dead-man.
        while (Date.now() < cutMs + 7000) {
          say();
          await wait(500);
        }
        network.mend();
        await until('online again', () => link.status() === 'online', 20_000);
        await wait(300);
        const later = Date.now();
        await until(
          'heard again',
          () => say() === 'sent' && device.heard().some(({ sentMs }) => sentMs >= later),
          10_000,
        );
        const ages = device.heard().map(({ atMs, sentMs }) => atMs - sentMs);
        expect(Math.max(...ages)).toBeLessThan(ttlMs + 500);
        expect(events.filter((event) => event.kind === 'command-lost').length).toBeGreaterThan(0);
      },
    );

    it.concurrent('takes the heat off by the device, holds the run, and brings back neither heat nor an old command', async (context) => {
      const { expect } = context;
      const { live, cleanUp } = bench(context);
      const network = makeNetwork();
      cleanUp.push(network.remove);
      const port = await freePort();
      const broker = await startMosquitto({
        lines: [`listener ${port} ${network.nearHost}`, 'allow_anonymous true', 'log_type none'],
      });
      cleanUp.push(broker.remove);
      // The daemon is on the far host; broker and devices stay here, where the cable that is pulled does not reach them.
      const { room, daemon, heat, start, record } = await live({
        url: `mqtt://127.0.0.1:${broker.port}`,
        brokerUrl: `mqtt://${network.nearHost}:${port}`,
        speed: 5,
        runs: (args, options) => {
          const [command, all] = network.onFar(process.execPath, mainFile, ...args);
          return run(command, all, options);
        },
      });
      start();
      await heat();
      network.cut();
      const cutAt = room.commands.length;
      await wait(7500);
      // Dead-man of 6 s.
      expect(room.heater).toMatchObject({ isOn: false, deadManTrips: 1 });
      expect(daemon().text()).toMatch(/a command was not taken within its time to live/);
      expect(daemon().text()).toMatch(/link-silent raised/);
      network.mend();
      await room.until('told again', () => room.commands.length > cutAt + 3, 20_000);
      await wait(2000);
      const after = room.commands.slice(cutAt);
      expect(after.filter(({ drive, value }) => drive === 'element' && value !== 0)).toEqual([]);
      expect(Math.max(...room.commands.map(({ ageS }) => ageS))).toBeLessThan(2);
      expect(room.state()).toMatchObject({ state: 'held', phase: 'heads' });
      await room.attend();
      await room.order({ order: 'acknowledge' });
      expect(await room.order({ order: 'resume' })).toMatchObject({ accepted: true });
      await room.until('heat is on', () => room.heater.isOn);
      expect(await record(sameAgain)).toEqual({ replay: 'same', chain: 'whole' });
    });
  },
);
