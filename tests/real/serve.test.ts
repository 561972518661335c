import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { stringify } from 'yaml';
import { type Running, run, runMiddlecut } from '../tools/daemon-process';
import { type Mosquitto, startMosquitto } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { potDocument, potRecipe } from '../tools/plants';

const speed = 40;

/** A first real set-up: an external broker, one probe, one barometer, heat, coolant and three valves in two vendors' shapes. */
function configFor(port: number, folder: string): string {
  const still = {
    ...potDocument,
    remoteOrders: true,
    points: {
      vapour: { kind: 'vapour-temp', resolution: 0.0625, staleAfterS: 120 },
      air: { kind: 'air-pressure' },
      button: { kind: 'attendance' },
    },
  };
  writeFileSync(join(folder, 'still.yaml'), stringify(still));
  writeFileSync(join(folder, 'recipe.json'), JSON.stringify(potRecipe));
  const relay = (channel: number) => ({ mqtt: { topic: `cmnd/valve_box/POWER${channel}`, on: 'ON', off: 'OFF' } });
  const config = {
    config: 1,
    data: 'data',
    broker: { url: `mqtt://127.0.0.1:${port}` },
    page: { enabled: false },
    log: { format: 'human' },
    stills: [
      {
        still: 'still.yaml',
        recipes: ['recipe.json'],
        speed,
        feeds: {
          vapour: { mqtt: { topic: 'tele/still_probe/SENSOR', path: 'DS18B20.Temperature', unitPath: 'TempUnit' } },
          air: { mqtt: { topic: 'still-room/sensor/air_pressure/state', unit: 'hPa' } },
          button: { mqtt: { topic: 'still-room/binary_sensor/button/state' } },
        },
        drives: {
          element: { mqtt: { topic: 'cmnd/heater/Dimmer', template: '{percent}' } },
          coolant: relay(1),
          'heads-valve': relay(2),
          'hearts-valve': relay(3),
          'tails-valve': relay(4),
        },
      },
    ],
  };
  const file = join(folder, 'middlecut.yaml');
  writeFileSync(file, stringify(config));
  return file;
}

/** Evenly from one temperature to another, in steps of the probe. */
function ramp(fromC: number, toC: number, count: number): number[] {
  return Array.from(
    { length: count },
    (_, index) => Math.round((fromC + ((toC - fromC) * index) / (count - 1)) * 16) / 16,
  );
}

describe.skipIf(!needs('mosquitto') || !needs('mosquitto-clients'))('serve with Mosquitto', () => {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-serve-'));
  let broker: Mosquitto;
  let daemon: Running;
  let heard: Running;
  const running: Running[] = [];

  const publish = (topic: string, payload: string, ...more: string[]) =>
    run('mosquitto_pub', ['-p', String(broker.port), '-t', topic, '-m', payload, ...more]).exited;
  const subscribe = (topic: string, ...more: string[]) => {
    const one = run('mosquitto_sub', ['-p', String(broker.port), '-t', topic, '-F', '%r %t %p', ...more]);
    running.push(one);
    return one;
  };
  /** Readings line by line through one mosquitto_pub, one an engine second. */
  const feed = async (temps: Iterable<number>) => {
    const args = ['-p', String(broker.port), '-t', 'tele/still_probe/SENSOR', '-l'];
    const publisher = spawn('mosquitto_pub', args, { stdio: ['pipe', 'ignore', 'inherit'] });
    for (const tempC of temps) {
      publisher.stdin.write(
        `${JSON.stringify({ DS18B20: { Id: '3C01F0961A7B', Temperature: tempC }, TempUnit: 'C' })}\n`,
      );
      await new Promise((resolve) => setTimeout(resolve, 1000 / speed));
    }
    publisher.stdin.end();
    await once(publisher, 'exit');
  };
  const order = async (said: object) => {
    const id = `t${Math.round(Math.random() * 1e9)}`;
    await publish('middlecut/test-pot/order', JSON.stringify({ id, by: 'test', ...said }), '-q', '1');
    const [answer] = await heard.until(new RegExp(`order/answer (\\{[^\\n]*"id":"${id}"[^\\n]*\\})`));
    return JSON.parse(answer.slice(answer.indexOf('{'))) as { accepted: boolean; why: string[] };
  };

  beforeAll(async () => {
    broker = await startMosquitto();
    heard = subscribe('#');
    daemon = runMiddlecut(['serve', '--config', configFor(broker.port, folder)]);
    await daemon.until(/broker online/);
  });

  afterAll(async () => {
    await daemon.end();
    for (const one of running) await one.end();
    await broker.remove();
    rmSync(folder, { recursive: true, force: true });
  });

  it('says that it is there, idle, and tells the heat off', async () => {
    await heard.until(/middlecut\/test-pot\/online \{"state":"online"/);
    await heard.until(/middlecut\/test-pot\/phase idle/);
    await heard.until(/cmnd\/heater\/Dimmer 0/);
  });

  it('refuses an order it does not understand, with the reason, and carries on', async () => {
    const answer = await order({ order: 'start', recipe: 'Nonsense', chargeL: 50 });
    expect(answer.accepted).toBe(false);
    expect(answer.why.join('\n')).toMatch(/is no recipe of this still/);
    expect(answer.why.join('\n')).toMatch(/chargeVolPercent/);
    await publish('middlecut/test-pot/order', 'make it so');
    await heard.until(/order\/answer .*there is no such order/);
  });

  it('carries a run from heat-up to finish on published readings, with valves switched', async () => {
    await publish('still-room/sensor/air_pressure/state', '961.4');
    await feed(ramp(25, 25.5, 30));
    // From a broker outside a run starts only once somebody has answered at the still.
    const start = { order: 'start', chargeL: 50, chargeVolPercent: 29 };
    expect(await order(start)).toMatchObject({ accepted: false });
    await publish('still-room/binary_sensor/button/state', 'OFF', '-q', '1');
    await publish('still-room/binary_sensor/button/state', 'ON', '-q', '1');
    expect((await order(start)).accepted).toBe(true);
    await heard.until(/middlecut\/test-pot\/phase heat-up/);
    await heard.until(/cmnd\/valve_box\/POWER2 ON/);
    await heard.until(/cmnd\/heater\/Dimmer 100/);
    await feed(ramp(25, 78, 60));
    await feed(ramp(78, 78.5, 140));
    await heard.until(/middlecut\/test-pot\/phase heads/);
    await publish('still-room/sensor/air_pressure/state', '961.4');
    await feed(ramp(78.5, 97.5, 480));
    await heard.until(/middlecut\/test-pot\/phase hearts/);
    await heard.until(/cmnd\/valve_box\/POWER3 ON[\s\S]*cmnd\/valve_box\/POWER2 OFF/);
    await heard.until(/middlecut\/test-pot\/phase tails/);
    await heard.until(/cmnd\/valve_box\/POWER4 ON[\s\S]*cmnd\/valve_box\/POWER3 OFF/);
    await heard.until(/middlecut\/test-pot\/phase finish[\s\S]*cmnd\/heater\/Dimmer 0/);
  });

  it('moved the cuts to the air pressure of the moment and said why', () => {
    const events = [...heard.text().matchAll(/middlecut\/test-pot\/event (\{.*\})/g)].map((match) =>
      JSON.parse(match[1]!),
    );
    const cut = events.find((event) => event.kind === 'phase' && event.to === 'hearts');
    expect(cut.figures.thresholdAtReferenceC).toBe(82);
    expect(cut.figures.thresholdHereC).toBeGreaterThan(80.4);
    expect(cut.figures.thresholdHereC).toBeLessThan(80.8);
    expect(cut.reason.text).toMatch(
      /^vapour 8\d\.\d °C at or above 80\.\d °C \(82\.0 °C at 1013 hPa; air 961 hPa\) for/,
    );
  });

  it('lets a late subscriber find the phase, and retains no command', async () => {
    const late = subscribe('#', '-W', '2');
    await late.exited;
    const retained = late
      .text()
      .split('\n')
      .filter((line) => line.startsWith('1 '));
    expect(retained.some((line) => /middlecut\/test-pot\/phase (finish|cool-down|idle)/.test(line))).toBe(true);
    expect(retained.some((line) => line.includes('middlecut/test-pot/state {'))).toBe(true);
    expect(retained.filter((line) => / (cmnd\/|\S*\/set )/.test(line))).toEqual([]);
  });

  it('ends on SIGTERM with the run held or over and everything written down', async () => {
    expect(await daemon.end('SIGTERM')).toBe(0);
    await heard.until(/middlecut\/test-pot\/online \{"state":"offline"/);
    const listed = runMiddlecut([
      'replay',
      '--run',
      daemon.text().match(/run (test-pot-\d+-\d+)/)?.[1] ?? runIdOf(heard.text()),
      '--data',
      join(folder, 'data'),
    ]);
    expect(await listed.exited).toBe(0);
    expect(listed.text()).toMatch(/All \d+ decisions of run .* come out the same/);
  });
});

function runIdOf(text: string): string {
  return text.match(/"run":"(test-pot-[^"]+)"/)?.[1] ?? '';
}
