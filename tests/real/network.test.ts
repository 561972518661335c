import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { type Link, type LinkEvent, type LinkTarget, openLink } from '../../daemon/link';
import { makeCertificates } from '../tools/certificates';
import { until } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { canCutNetworks, makeNetwork, startFarMosquitto, type TestNetwork } from '../tools/network';

const cleanUp: (() => unknown)[] = [];
afterEach(async () => {
  for (const clean of cleanUp.splice(0).reverse()) await clean();
});

const wait = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

/** A device on the far host that tells when a command reached it. */
function listenFar(network: TestNetwork, topic: string, ...more: readonly string[]) {
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
    it.each(['plain', 'encrypted'])('delivers no command later than its time to live, over a %s link', async (how) => {
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
      const device = listenFar(network, 'cmnd/heater', ...(isTls ? ['--cafile', certificates.caFile] : []));
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
    });
  },
);
