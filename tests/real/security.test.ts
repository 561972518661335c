import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { connect as connectTcp } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt, { type MqttClient } from 'mqtt';
import { describe, it } from 'vitest';
import { makeCertificates } from '../tools/certificates';
import { run, runMiddlecut } from '../tools/daemon-process';
import { bench, wait } from '../tools/live-run';
import { freePort, startMosquitto, until } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { writeStillroom } from '../tools/stillroom';

/** Addresses a port is listened on, as the kernel tells (proc(5), /proc/net/tcp and tcp6). */
function listenedOn(port: number): string[] {
  return ['tcp', 'tcp6'].flatMap((kind) =>
    readFileSync(`/proc/net/${kind}`, 'utf8')
      .split('\n')
      .slice(1)
      .map((line) => line.trim().split(/\s+/))
      .filter(([, local = '', , state]) => state === '0A' && Number.parseInt(local.split(':')[1] ?? '', 16) === port)
      .map(([, local = '']) => local.split(':')[0] ?? ''),
  );
}

const passwords = {
  tablet: 'tablet-Quince-7781',
  display: 'display-Medlar-2290',
  box: 'box-Sorb-5512',
  page: 'page-Bullace-6604',
} as const;

function secretsIn(folder: string): Record<string, string> {
  mkdirSync(join(folder, 'secrets'), { mode: 0o700 });
  return Object.fromEntries(
    Object.entries(passwords).map(([name, password]) => {
      const file = join(folder, 'secrets', name);
      writeFileSync(file, `${password}\n`, { mode: 0o600 });
      return [name, file];
    }),
  );
}

const user = (passwordFile: string | undefined, role: string) => ({ passwordFile, role });

/** Everything a folder holds, whatever it is. */
function everythingIn(folder: string): string {
  return readdirSync(folder)
    .map((name) => join(folder, name))
    .filter((path) => statSync(path).isFile())
    .map((path) => readFileSync(path, 'latin1'))
    .join('\n');
}

const connect = (port: number, username?: string, password?: string): Promise<MqttClient> =>
  mqtt.connectAsync(`mqtt://127.0.0.1:${port}`, {
    reconnectPeriod: 0,
    ...(username === undefined ? {} : { username }),
    ...(password === undefined ? {} : { password }),
  });

/** First byte of what answers an MQTT 3.1.1 CONNECT without TLS: 0x20 where it is let in (OASIS, section 3.2). */
function answerToPlainConnect(port: number): Promise<number | null> {
  const hello = Buffer.from([0x10, 13, 0, 4, 0x4d, 0x51, 0x54, 0x54, 4, 2, 0, 10, 0, 1, 0x78]);
  return new Promise((resolve) => {
    const socket = connectTcp({ host: '127.0.0.1', port }, () => socket.write(hello));
    socket.once('data', (chunk) => {
      socket.destroy();
      resolve(chunk[0] ?? null);
    });
    socket.on('error', () => undefined);
    socket.once('close', () => resolve(null));
  });
}

/** Whether the broker lets a publish through, seen by somebody who hears everything; one that is refused costs the connection. */
async function getsThrough(witness: MqttClient, port: number, login: readonly [string, string], topic: string) {
  const client = await connect(port, ...login);
  client.on('error', () => undefined);
  const mark = `mark-${Math.random()}`;
  let isHeard = false;
  const hear = (_topic: string, payload: Buffer) => {
    if (payload.toString().includes(mark)) isHeard = true;
  };
  witness.on('message', hear);
  client.publish(topic, JSON.stringify({ order: 'note', text: mark, id: mark }), { qos: 1 });
  await wait(300);
  witness.off('message', hear);
  await client.endAsync(true);
  return isHeard;
}

describe('the embedded broker of a daemon', () => {
  it.concurrent('listens on loopback alone unless told otherwise, and takes orders there as given at the still', async (context) => {
    const { expect } = context;
    const { live } = bench(context);
    const port = await freePort();
    const options = { url: `mqtt://127.0.0.1:${port}`, brokerUrl: null, port };
    const folder = mkdtempSync(join(tmpdir(), 'middlecut-loop-'));
    context.onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    const daemon = runMiddlecut(['serve', '--config', writeStillroom({ ...options, folder })]);
    context.onTestFinished(async () => {
      await daemon.end('SIGKILL');
    });
    await daemon.until(/serving/);
    expect(listenedOn(port)).toEqual(['0100007F']);
    const { room } = await live({ ...options, folder });
    await room.until('the probe is heard', () => room.heard.some(({ text }) => text.includes('"quality":"good"')));
    expect(await room.order({ order: 'start', chargeL: 50, chargeVolPercent: 29 })).toMatchObject({ accepted: true });
    // The answer and the event are two messages, and either may be heard first.
    await room.until('the order is told', () => room.events('order').length > 0);
    expect(room.events('order').at(-1)).toMatchObject({ order: { from: 'still' } });
  });

  it.concurrent('does not open to the network without users', async ({ expect, onTestFinished }) => {
    const folder = mkdtempSync(join(tmpdir(), 'middlecut-open-'));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    const config = { broker: { embedded: { host: '0.0.0.0', port: await freePort() } } };
    const daemon = runMiddlecut(['serve', '--config', writeStillroom({ brokerUrl: null, folder, config })]);
    expect(await daemon.exited).toBe(1);
    expect(daemon.text()).toMatch(/anybody on the network could command the still at 0\.0\.0\.0\. Add users/);
  });

  it.concurrent('lets each role say and hear what is its own, and nobody in without a password; no secret is ever written', async ({
    expect,
    onTestFinished,
  }) => {
    const folder = mkdtempSync(join(tmpdir(), 'middlecut-roles-'));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    const files = secretsIn(folder);
    const [port, pagePort] = [await freePort(), await freePort()];
    const users = {
      tablet: user(files.tablet, 'operator'),
      display: user(files.display, 'reader'),
      box: user(files.box, 'device'),
    };
    const config = {
      broker: { embedded: { host: '0.0.0.0', port, users } },
      page: { host: '0.0.0.0', port: pagePort, passwordFile: files.page },
      log: { level: 'trace', format: 'json' },
    };
    const file = writeStillroom({ brokerUrl: null, folder, config });
    const daemon = runMiddlecut(['serve', '--config', file, '--json']);
    onTestFinished(async () => {
      await daemon.end('SIGKILL');
    });
    await daemon.until(/serving/);
    await expect(connect(port)).rejects.toThrow(/refused|authori/i);
    await expect(connect(port, 'tablet', passwords.page)).rejects.toThrow(/refused|authori/i);
    await expect(connect(port, 'stranger', passwords.tablet)).rejects.toThrow(/refused|authori/i);

    const witness = await connect(port, 'display', passwords.display);
    onTestFinished(async () => {
      await witness.endAsync(true);
    });
    const heard: string[] = [];
    witness.on('message', (topic, payload) => heard.push(`${topic} ${payload.toString()}`));
    await witness.subscribeAsync(['middlecut/#', 'probes/#'], { qos: 1 });
    const order = 'middlecut/test-pot/order';
    const set = 'middlecut/test-pot/drive/element/set';
    const state = 'middlecut/test-pot/drive/element/state';
    const table: readonly (readonly [keyof typeof users, string, boolean])[] = [
      ['tablet', order, true],
      ['tablet', set, false],
      ['tablet', state, false],
      ['tablet', 'middlecut/test-pot/online', false],
      ['tablet', 'probes/test-pot/vapour', false],
      ['display', order, false],
      ['display', set, false],
      ['display', 'probes/test-pot/vapour', false],
      ['box', 'probes/test-pot/vapour', true],
      ['box', state, true],
      ['box', order, false],
      ['box', set, false],
      ['box', 'middlecut/test-pot/alarm/blind', false],
    ];
    for (const [name, topic, isAllowed] of table) {
      expect([name, topic, await getsThrough(witness, port, [name, passwords[name]], topic)]).toEqual([
        name,
        topic,
        isAllowed,
      ]);
    }
    // Over a broker that the network reaches nobody is at the still.
    expect(heard.some((line) => line.startsWith('middlecut/test-pot/event') && line.includes('"from":"remote"'))).toBe(
      true,
    );

    const login = (password: string) =>
      fetch(`http://127.0.0.1:${pagePort}/api/login`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', origin: `http://127.0.0.1:${pagePort}` },
        body: JSON.stringify({ password }),
      });
    expect((await login(`${passwords.page}x`)).status).toBe(403);
    expect((await login(passwords.page)).status).toBe(200);
    const checked = runMiddlecut(['check', file, '--json']);
    await checked.exited;
    await daemon.end('SIGTERM');
    const written = [daemon.text(), checked.text(), heard.join('\n'), everythingIn(join(folder, 'data'))].join('\n');
    expect(written.length).toBeGreaterThan(50_000);
    expect(Object.values(passwords).filter((password) => written.includes(password))).toEqual([]);
    // Nor the beginnings of one.
    expect(Object.values(passwords).filter((password) => written.includes(password.split('-')[1] ?? password))).toEqual(
      [],
    );
  });
});

describe.skipIf(!needs('mosquitto'))('a daemon on a broker of the network', () => {
  it.concurrent('takes orders as given from elsewhere: what makes things safer at once, what does not only as the still allows', async (context) => {
    const { expect } = context;
    const { broker, live } = bench(context);
    const { url } = await broker();
    const { room, start } = await live({ url, still: { remoteOrders: false } });
    start();
    await room.until(
      'the probe is heard',
      () => room.heard.some(({ text }) => text.includes('"quality":"good"')),
      20_000,
    );
    await room.attend();
    const begin = { order: 'start', chargeL: 50, chargeVolPercent: 29 };
    expect(await room.order(begin)).toMatchObject({
      accepted: false,
      why: [expect.stringMatching(/must be given at the still itself/)],
    });
    expect(await room.order({ order: 'shelve', target: 'probe-lost:vapour', forS: 60 })).toMatchObject({
      accepted: false,
    });
    expect(await room.order({ order: 'acknowledge' })).toMatchObject({ accepted: true });
    expect(room.state()?.run).toBeNull();
    // One that was kept at the broker is nobody's order now.
    room.client.publish('middlecut/test-pot/order', JSON.stringify({ order: 'abort', id: 'kept' }), {
      qos: 1,
      retain: true,
    });
    await wait(300);
    const again = start;
    again();
    const answer = () =>
      room.heard.find(({ topic, text }) => topic.endsWith('/order/answer') && text.includes('retained'));
    await room.until('the kept order is refused', () => answer() !== undefined, 10_000);
  });

  it.concurrent('takes no payload larger than it should, and goes on', async (context) => {
    const { expect } = context;
    const { broker, live } = bench(context);
    const { url } = await broker();
    const { room, daemon, start } = await live({ url });
    start();
    await room.until(
      'the probe is heard',
      () => room.heard.some(({ text }) => text.includes('"quality":"good"')),
      20_000,
    );
    const residentKb = () =>
      Number(readFileSync(`/proc/${daemon().child.pid}/status`, 'utf8').match(/VmRSS:\s+(\d+)/)?.[1]);
    const before = residentKb();
    for (const topic of ['probes/test-pot/vapour', 'middlecut/test-pot/order']) {
      await room.client.publishAsync(topic, Buffer.alloc(20_000_000, 0x37), { qos: 1 });
    }
    await room.until('it is told', () => /link: too-large probes/.test(daemon().text()), 10_000);
    await room.until('the order is answered', () =>
      room.heard.some(({ text }) => text.includes('the order is too large')),
    );
    expect(await room.order({ order: 'note', text: 'still here' })).toMatchObject({ accepted: true });
    expect(residentKb() - before).toBeLessThan(60_000);
  });

  it.concurrent('works with the permissions that stand beside the unit, and they keep everybody else out', async (context) => {
    const { expect } = context;
    const folder = mkdtempSync(join(tmpdir(), 'middlecut-acl-'));
    context.onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    const install = join(__dirname, '..', '..', 'daemon', 'install');
    const acl = readFileSync(join(install, 'mosquitto-acl.conf'), 'utf8').replaceAll('copper-60', 'test-pot');
    writeFileSync(join(folder, 'acl'), acl);
    const names = [...acl.matchAll(/^user (\S+)$/gm)].map((match) => match[1] ?? '');
    for (const [at, name] of names.entries()) {
      spawnSync('mosquitto_passwd', [
        '-b',
        ...(at === 0 ? ['-c'] : []),
        join(folder, 'passwords'),
        name,
        `pear-${name}`,
      ]);
    }
    const broker = await startMosquitto({
      lines: ['allow_anonymous false', `password_file ${folder}/passwords`, `acl_file ${folder}/acl`, 'log_type none'],
    });
    context.onTestFinished(broker.remove);
    writeFileSync(join(folder, 'password'), 'pear-middlecut');
    const tasmota = (device: string) => ({ mqtt: { topic: `cmnd/${device}/POWER1`, on: 'ON', off: 'OFF' } });
    const file = writeStillroom({
      brokerUrl: null,
      folder,
      still: {
        points: { vapour: { kind: 'vapour-temp' }, air: { kind: 'air-pressure' } },
        drives: {
          element: { kind: 'heat', ratedW: 5000, control: 'on-off', deadManS: 30 },
          coolant: { kind: 'coolant' },
        },
        receivers: {},
      },
      config: {
        broker: { url: `mqtt://127.0.0.1:${broker.port}`, username: 'middlecut', passwordFile: 'password' },
      },
    });
    const text = readFileSync(file, 'utf8');
    const stills = [
      {
        still: 'still.yaml',
        recipes: ['recipe.json'],
        feeds: {
          vapour: { mqtt: { topic: 'tele/still_probe/SENSOR', path: 'DS18B20.Temperature' } },
          air: { mqtt: { topic: 'tele/still_room/SENSOR', path: 'BME280.Pressure' } },
        },
        drives: { element: tasmota('heater'), coolant: tasmota('coolant') },
      },
    ];
    writeFileSync(file, text.replace(/stills:[\s\S]*$/, `stills: ${JSON.stringify(stills)}\n`));
    const as = (name: string) => connect(broker.port, name, `pear-${name}`);
    const tablet = await as('tablet');
    const heater = await as('heater');
    const probe = await as('still_probe');
    const heard: string[] = [];
    tablet.on('message', (topic, payload) => heard.push(`${topic} ${payload.toString()}`));
    heater.on('message', (topic, payload) => heard.push(`heater: ${topic} ${payload.toString()}`));
    await tablet.subscribeAsync('middlecut/#', { qos: 1 });
    await heater.subscribeAsync('cmnd/heater/#', { qos: 1 });
    const daemon = runMiddlecut(['serve', '--config', file]);
    context.onTestFinished(async () => {
      await daemon.end('SIGKILL');
    });
    await until('the state', () => heard.some((line) => line.startsWith('middlecut/test-pot/state')), 20_000);
    probe.publish('tele/still_probe/SENSOR', JSON.stringify({ DS18B20: { Temperature: 21.5 } }), { qos: 1 });
    tablet.publish('middlecut/test-pot/order', JSON.stringify({ order: 'note', text: 'hello', id: 'n1' }), { qos: 1 });
    await until('the note is answered', () =>
      heard.some((line) => line.includes('"n1"') && line.includes('accepted":true')),
    );
    await until('the probe is heard', () =>
      heard.some((line) => line.includes('point/vapour') && line.includes('21.5')),
    );
    await until('the heater is told off', () => heard.includes('heater: cmnd/heater/POWER1 OFF'));
    // None may say what is not theirs. Mosquitto drops what is not allowed without a word.
    const count = heard.length;
    const wrong: readonly (readonly [string, string, string])[] = [
      ['still_probe', 'cmnd/heater/POWER1', 'ON'],
      ['still_probe', 'middlecut/test-pot/order', '{"order":"note","text":"x","id":"bad1"}'],
      ['tablet', 'cmnd/heater/POWER1', 'ON'],
      ['tablet', 'tele/still_probe/SENSOR', '{"DS18B20":{"Temperature":99}}'],
      ['display', 'middlecut/test-pot/order', '{"order":"note","text":"x","id":"bad2"}'],
      ['valve_box', 'cmnd/heater/POWER1', 'ON'],
      ['heater', 'middlecut/test-pot/order', '{"order":"note","text":"x","id":"bad3"}'],
      ['coolant', 'middlecut/test-pot/online', '{"state":"online","owner":"me"}'],
    ];
    for (const [name, topic, payload] of wrong) {
      const client = await as(name);
      await client.publishAsync(topic, payload, { qos: 1 });
      await client.endAsync(true);
    }
    await expect(connect(broker.port)).rejects.toThrow();
    await wait(500);
    const after = heard.slice(count);
    expect(after.filter((line) => /POWER1 ON|bad\d|99|"owner":"me"/.test(line))).toEqual([]);
    for (const client of [tablet, heater, probe]) await client.endAsync(true);
  });
});

describe.skipIf(!needs('openssl') || !needs('mosquitto'))('certificates of an authority of ours', () => {
  it.concurrent('speaks TLS with a certificate of an authority of ours, and nothing else', async ({
    expect,
    onTestFinished,
  }) => {
    const folder = mkdtempSync(join(tmpdir(), 'middlecut-tls-'));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    const files = secretsIn(folder);
    const { ca, certFile, keyFile } = makeCertificates(folder);
    const port = await freePort();
    const users = { tablet: user(files.tablet, 'operator') };
    const config = { broker: { embedded: { host: '0.0.0.0', port, users, certFile, keyFile } } };
    const daemon = runMiddlecut(['serve', '--config', writeStillroom({ brokerUrl: null, folder, config })]);
    onTestFinished(async () => {
      await daemon.end('SIGKILL');
    });
    await daemon.until(/serving/);
    const login = { username: 'tablet', password: passwords.tablet, reconnectPeriod: 0, connectTimeout: 3000 };
    const client = await mqtt.connectAsync(`mqtts://localhost:${port}`, { ...login, ca });
    const answers: string[] = [];
    client.on('message', (_topic, payload) => answers.push(payload.toString()));
    await client.subscribeAsync('middlecut/test-pot/order/answer');
    client.publish('middlecut/test-pot/order', JSON.stringify({ order: 'note', text: 'over TLS', id: 'n1' }), {
      qos: 1,
    });
    await until('an answer', () => answers.some((answer) => answer.includes('"n1"')));
    await client.endAsync(true);
    await expect(mqtt.connectAsync(`mqtts://localhost:${port}`, login)).rejects.toThrow(/certificate|self.signed/i);
    expect(await answerToPlainConnect(port)).not.toBe(0x20);
    expect(
      readFileSync(keyFile, 'utf8')
        .split('\n')
        .slice(1, 3)
        .some((line) => daemon.text().includes(line)),
    ).toBe(false);
    expect(daemon.child.exitCode).toBeNull();
  });

  it.concurrent('runs the broker configuration that stands beside the unit', async ({ expect, onTestFinished }) => {
    const folder = mkdtempSync(join(tmpdir(), 'middlecut-conf-'));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    const { certFile, keyFile, caFile } = makeCertificates(folder);
    const install = join(__dirname, '..', '..', 'daemon', 'install');
    const [near, far] = [await freePort(), await freePort()];
    spawnSync('mosquitto_passwd', ['-b', '-c', join(folder, 'passwords'), 'middlecut', 'pear']);
    const config = readFileSync(join(install, 'mosquitto.conf'), 'utf8')
      .replace('listener 1883', `listener ${near}`)
      .replace('listener 8883', `listener ${far} 127.0.0.1`)
      .replaceAll('/etc/mosquitto/middlecut.passwords', join(folder, 'passwords'))
      .replaceAll('/etc/mosquitto/middlecut.acl', join(install, 'mosquitto-acl.conf'))
      .replace('/etc/mosquitto/certs/broker.pem', certFile)
      .replace('/etc/mosquitto/certs/broker.key', keyFile);
    writeFileSync(join(folder, 'mosquitto.conf'), `user root\n${config}`);
    const broker = run('mosquitto', ['-c', join(folder, 'mosquitto.conf')]);
    onTestFinished(async () => {
      await broker.end('SIGKILL');
    });
    await broker.until(/mosquitto version .* running/);
    const login = { username: 'middlecut', password: 'pear', reconnectPeriod: 0 };
    const plain = await mqtt.connectAsync(`mqtt://127.0.0.1:${near}`, login);
    const secure = await mqtt.connectAsync(`mqtts://localhost:${far}`, { ...login, ca: readFileSync(caFile) });
    await expect(mqtt.connectAsync(`mqtt://127.0.0.1:${near}`, { reconnectPeriod: 0 })).rejects.toThrow();
    await plain.endAsync(true);
    await secure.endAsync(true);
  });
});
