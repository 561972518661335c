import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { secretOf } from '../../daemon/config';
import { type Link, type LinkEvent, type LinkTarget, openLink } from '../../daemon/link';
import { type Certificates, makeCertificates } from '../tools/certificates';
import { type Mosquitto, startMosquitto, until } from '../tools/mosquitto';
import { needs } from '../tools/need';

describe.skipIf(!needs('mosquitto') || !needs('openssl'))('link to Mosquitto with TLS, users and permissions', () => {
  let folder: string;
  let certificates: Certificates;
  let broker: Mosquitto;
  const links: Link[] = [];
  const names = ['middlecut', 'tablet', 'display', 'heater_box'] as const;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'middlecut-secure-'));
    certificates = makeCertificates(folder);
    // The permissions are those of the guide, word for word.
    const guide = readFileSync(join(process.cwd(), 'daemon/broker/README.md'), 'utf8');
    writeFileSync(join(folder, 'acl'), /```text\n([\s\S]*?)```/.exec(guide)?.[1] ?? '');
    for (const [at, name] of names.entries()) {
      spawnSync('mosquitto_passwd', ['-b', ...(at === 0 ? ['-c'] : []), join(folder, 'passwords'), name, 'pear']);
    }
    broker = await startMosquitto({
      listenerLines: [`certfile ${certificates.certFile}`, `keyfile ${certificates.keyFile}`],
      lines: ['allow_anonymous false', `password_file ${join(folder, 'passwords')}`, `acl_file ${join(folder, 'acl')}`],
    });
  });
  afterAll(async () => {
    for (const link of links) await link.close();
    await broker?.remove();
    rmSync(folder, { recursive: true, force: true });
  });

  function open(more: Partial<LinkTarget>): { link: Link; events: LinkEvent[] } {
    const target: LinkTarget = {
      host: 'localhost',
      port: broker.port,
      tls: { ca: certificates.ca, cert: null, key: null },
      username: 'middlecut',
      password: secretOf('pear'),
      ...more,
    };
    const link = openLink({
      target,
      group: 'orchard',
      clientId: 'middlecut-orchard',
      firstRetryMs: 100,
      lastRetryMs: 200,
    });
    links.push(link);
    const events: LinkEvent[] = [];
    link.events.subscribe((event) => events.push(event));
    return { link, events };
  }
  const troubles = (events: LinkEvent[]) =>
    events.flatMap((event) => (event.kind === 'trouble' ? [event.message] : []));

  it('comes up with the right authority, user and password', async () => {
    const { link } = open({});
    await until('online', () => link.status() === 'online');
    await link.close();
  });

  it('does not trust a broker that our authority has not signed', async () => {
    const { link, events } = open({ tls: { ca: null, cert: null, key: null } });
    await until('trouble', () => troubles(events).length > 0);
    expect(troubles(events)[0]).toMatch(/certificate|signed/i);
    expect(link.status()).not.toBe('online');
    await link.close();
  });

  it('says that the password is refused, and never shows it', async () => {
    const { link, events } = open({ password: secretOf('a wrong one') });
    await until('trouble', () => troubles(events).length > 0);
    expect(troubles(events)[0]).toMatch(/refused|authori/i);
    expect(JSON.stringify(events)).not.toContain('a wrong one');
    await link.close();
  });

  it('lets each user of the guide say what is meant, and nothing else', async () => {
    const { link } = open({});
    const heard: string[] = [];
    const topics = [
      'middlecut/orchard/order',
      'middlecut/orchard/drive/heater/set',
      'middlecut/orchard/online',
      'tele/heater_box/SENSOR',
      'tele/other/SENSOR',
      'stat/heater_box/POWER1',
    ];
    for (const topic of topics)
      link.messages(topic).subscribe(({ payload }) => heard.push(`${Buffer.from(payload ?? []).toString()} ${topic}`));
    await until('online', () => link.status() === 'online');
    const join_ = (username: string) =>
      mqtt.connectAsync(`mqtts://localhost:${broker.port}`, {
        ca: certificates.ca,
        username,
        password: 'pear',
        reconnectPeriod: 0,
      });
    for (const name of names.slice(1)) {
      const user = await join_(name);
      for (const topic of topics) await user.publishAsync(topic, name, { qos: 1 });
      await user.endAsync();
    }
    const fromUsers = () => heard.filter((one) => !one.startsWith('{'));
    await until('what is allowed', () => fromUsers().length >= 3);
    await new Promise((resolve) => setTimeout(resolve, 200));
    expect(fromUsers().sort()).toEqual([
      'heater_box stat/heater_box/POWER1',
      'heater_box tele/heater_box/SENSOR',
      'tablet middlecut/orchard/order',
    ]);
    expect(link.status()).toBe('online');
    const box = await join_('heater_box');
    const commands: string[] = [];
    box.on('message', (topic) => commands.push(topic));
    await box.subscribeAsync('cmnd/#');
    link.command('cmnd/other/POWER1', 'ON', 5000);
    link.command('cmnd/heater_box/POWER1', 'ON', 5000);
    await until('the command', () => commands.length > 0);
    expect(commands).toEqual(['cmnd/heater_box/POWER1']);
    await box.endAsync();
    await link.close();
  });
});
