import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
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

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'middlecut-secure-'));
    certificates = makeCertificates(folder);
    writeFileSync(
      join(folder, 'acl'),
      'user middlecut\ntopic readwrite middlecut/#\ntopic read probes/#\ntopic write cmnd/#\nuser guest\ntopic read middlecut/#\n',
    );
    for (const [at, name] of ['middlecut', 'guest'].entries()) {
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
});
