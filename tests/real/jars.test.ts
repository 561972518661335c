import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { connect, type MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { stringify } from 'yaml';
import { type Running, runMiddlecut } from '../tools/daemon-process';
import { potDocument, potRecipe } from '../tools/plants';

const speed = 20;
const folder = mkdtempSync(join(tmpdir(), 'middlecut-jars-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface JarLine {
  readonly number: number;
  readonly volumeL?: number;
  readonly verdict?: string;
  readonly end?: { readonly vapourTempC?: number };
}

/** A development run over a broker of the daemon's own: a footswitch, jars by volume, and no page. */
function configFile(): string {
  writeFileSync(
    join(folder, 'still.yaml'),
    stringify({
      ...potDocument,
      points: {
        vapour: { kind: 'vapour-temp', resolution: 0.0625, staleAfterS: 600 },
        air: { kind: 'air-pressure', staleAfterS: 600 },
        meter: { kind: 'collected-volume', staleAfterS: 600 },
      },
      drives: Object.fromEntries(
        Object.entries(potDocument.drives ?? {}).map(([id, drive]) => [
          id,
          { ...drive, ...(drive.kind === 'heat' ? { deadManS: 90 } : {}) },
        ]),
      ),
    }),
  );
  writeFileSync(join(folder, 'recipe.json'), JSON.stringify(potRecipe));
  const config = {
    config: 1,
    data: 'data',
    broker: { embedded: { port: 0 } },
    page: { enabled: false },
    log: { format: 'human' },
    stills: [
      {
        still: 'still.yaml',
        recipes: ['recipe.json'],
        speed,
        feeds: Object.fromEntries(
          [
            ['vapour', 'C'],
            ['air', 'hPa'],
            ['meter', 'L'],
          ].map(([point, unit]) => [point, { mqtt: { topic: `room/${point}`, unit } }]),
        ),
        drives: Object.fromEntries(Object.keys(potDocument.drives ?? {}).map((drive) => [drive, { mqtt: {} }])),
        jars: { everyL: 0.5 },
        buttons: [{ topic: 'room/foot', order: 'next-jar', path: 'action', pressed: 'single' }],
      },
    ],
  };
  const file = join(folder, 'middlecut.yaml');
  writeFileSync(file, stringify(config));
  return file;
}

async function command(...args: string[]): Promise<{ readonly code: number | null; readonly text: string }> {
  const running = runMiddlecut(args, { cwd: folder });
  const code = await running.exited;
  return { code, text: running.text() };
}

describe('a development run in a daemon that is killed', () => {
  const file = configFile();
  let daemon: Running;
  let client: MqttClient;
  let feeding: NodeJS.Timeout;
  const world = { vapour: 22, air: 950, meter: 0 };

  /** Starts the daemon and a world that goes on whether it runs or not. */
  async function start(): Promise<void> {
    daemon = runMiddlecut(['serve', '--config', file], { cwd: folder });
    const [, port] = await daemon.until(/broker mqtt:\/\/127\.0\.0\.1:(\d+)/);
    client = connect(`mqtt://127.0.0.1:${port}`, { reconnectPeriod: 0 });
    await new Promise((resolve) => client.once('connect', resolve));
    feeding = setInterval(() => {
      if (world.vapour < 79) world.vapour += 1.5;
      else {
        world.vapour += 0.0004 * speed;
        world.meter += 0.00025 * speed;
      }
      for (const [point, value] of Object.entries(world)) client.publish(`room/${point}`, value.toFixed(4));
    }, 100);
  }

  function cut(): void {
    clearInterval(feeding);
    client.end(true);
  }

  const say = (topic: string, message: object) => client.publish(topic, JSON.stringify(message), { qos: 1 });
  const order = (name: string, more: object = {}) =>
    say('middlecut/test-pot/order', { order: name, by: 'Anna', ...more });
  const sheetOf = async (run: string): Promise<readonly JarLine[]> => {
    const { text, code } = await command('jars', 'from-run', run, '--data', 'data', '--json');
    expect(code, text).toBe(0);
    return (JSON.parse(text) as { jars: readonly JarLine[] }).jars;
  };

  beforeAll(async () => {
    await start();
    await new Promise((resolve) => setTimeout(resolve, 500));
    order('start', { chargeL: 50, chargeVolPercent: 29 });
    await daemon.until(/idle → heat-up/);
    await daemon.until(/heat-up → heads/);
  });
  afterAll(async () => {
    cut();
    await daemon.end('SIGKILL');
  });

  it('begins jars by the footswitch, goes on by itself, and keeps every jar, note and measure over two power cuts', async () => {
    say('room/foot', { action: 'release' });
    say('room/foot', { action: 'single', battery: 90 });
    await daemon.until(/jar: next jar, by a button/);
    await daemon.until(/jar: next jar, by the jar step/, 60_000);
    const { text } = await command('jars', 'list', '--data', 'data', '--json');
    const [listed] = (JSON.parse(text) as { sheets: readonly { id: string; open: boolean }[] }).sheets;
    expect(listed?.open).toBe(true);
    const run = listed!.id;

    // Somebody writes while the run goes on; then the power fails in the same moment as the next jar is told.
    expect((await command('jars', 'measure', run, '1', '--volume-l', '0.51', '--data', 'data')).code).toBe(0);
    expect((await command('jars', 'verdict', run, '1', 'out', '--data', 'data')).code).toBe(0);
    order('next-jar');
    await daemon.until(/jar: next jar, by Anna/);
    daemon.child.kill('SIGKILL');
    await daemon.exited;
    cut();

    const jars = await sheetOf(run);
    expect(jars).toHaveLength(3);
    expect(jars[0]).toMatchObject({ volumeL: 0.51, verdict: 'out' });
    for (const jar of jars.slice(0, 2)) expect(jar.end!.vapourTempC!).toBeGreaterThan(78);

    await start();
    await daemon.until(/was left open/);
    order('resume');
    await daemon.until(/state: resumed by Anna/);
    await daemon.until(/jar: next jar, by the jar step/, 60_000);
    const note = command(
      'jars',
      'note',
      run,
      '2',
      '--taster',
      'Berta',
      '--nose',
      'pear',
      '--verdict',
      'in',
      '--data',
      'data',
    );
    expect((await note).code).toBe(0);
    daemon.child.kill('SIGKILL');
    await daemon.exited;
    cut();
    expect((await sheetOf(run)).map((jar) => jar.number)).toEqual([1, 2, 3, 4]);
    const history = await command('jars', 'history', run, '--data', 'data');
    expect(history.text).toMatch(/volumeL 0\.51/);
    expect(history.text).toMatch(/Berta +tasting of jar 2 by berta +1 +.*nose "pear"/);
  });
});
