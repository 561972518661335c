import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { run, runMiddlecut } from '../tools/daemon-process';
import { freePort, startMosquitto } from '../tools/mosquitto';
import { needs } from '../tools/need';

const readme = readFileSync(join(__dirname, '..', '..', 'README.md'), 'utf8');
const folder = mkdtempSync(join(tmpdir(), 'middlecut-first-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Topic and payload of every `mosquitto_pub` the README tells its reader to type, in their order. */
const typed = [...readme.matchAll(/^ {4}mosquitto_pub -t (\S+) -m (?:'([^']+)'|(\S+))/gm)].map(
  ([, topic = '', quoted, bare]) => [topic, quoted ?? bare ?? ''] as const,
);

describe.skipIf(!needs('mosquitto') || !needs('mosquitto-clients'))("README's first real set-up", () => {
  it('starts a run, typed to the letter, on a broker that asks for a password', async () => {
    for (const [, file = '', text = ''] of readme.matchAll(/`([a-z]+\.yaml)`:[^\n]*\n\n```yaml\n([\s\S]*?)```/g))
      writeFileSync(join(folder, file), text);
    writeFileSync(join(folder, 'mqtt-password'), 'pear\n', { mode: 0o600 });
    writeFileSync(join(folder, 'users'), '', { mode: 0o600 });
    execFileSync('mosquitto_passwd', ['-b', join(folder, 'users'), 'middlecut', 'pear']);
    const broker = await startMosquitto({
      lines: ['log_type none', 'allow_anonymous false', `password_file ${join(folder, 'users')}`],
    });
    const login = ['-p', String(broker.port), '-u', 'middlecut', '-P', 'pear'];
    const say = (topic: string, payload: string) =>
      execFileSync('mosquitto_pub', [...login, '-t', topic, '-m', payload]);
    const config = join(folder, 'middlecut.yaml');
    writeFileSync(config, readFileSync(config, 'utf8').replace('127.0.0.1:1883', `127.0.0.1:${broker.port}`));
    const daemon = runMiddlecut(['serve', '--config', config], {
      env: { MIDDLECUT_PAGE_PORT: String(await freePort()), MIDDLECUT_DATA: join(folder, 'data') },
    });
    const listener = run('mosquitto_sub', [...login, '-v', '-t', 'middlecut/copper-60/#']);
    try {
      await daemon.until(/serving The copper still/);
      say('tele/still_probe/SENSOR', '{"DS18B20":{"Temperature":19.5},"TempUnit":"C"}');
      say('still-boiler/sensor/temperature/state', '20.5');
      say('tele/still_room/SENSOR', '{"BME280":{"Pressure":964.1},"PressureUnit":"hPa"}');
      await daemon.until(/vapour reads/);
      expect(typed.length).toBe(2);
      for (const [topic, payload] of typed) say(topic, payload);
      await listener.until(/order\/answer .*"order":"start".*"accepted":true/);
      await listener.until(/copper-60\/phase heat-up/);
    } finally {
      await listener.end();
      await daemon.end();
      await broker.remove();
    }
  });
});
