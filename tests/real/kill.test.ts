import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { counted, killInLanes, type Lane, percentile } from '../tools/kill-campaign';
import { type Mosquitto, startMosquitto } from '../tools/mosquitto';
import { needs } from '../tools/need';

const kills = 50;
const lanes = 2;

describe.skipIf(!needs('mosquitto'))('a daemon that is killed at any instant of a run, fifty times', () => {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-kills-'));
  let broker: Mosquitto;
  let done: readonly Lane[] = [];

  beforeAll(async () => {
    broker = await startMosquitto({ lines: ['log_type none'] });
    const brokerUrl = `mqtt://127.0.0.1:${broker.port}`;
    done = await killInLanes({ brokerUrl, folder, kills, seed: 11, speed: 60 }, lanes);
  }, 180_000);
  afterAll(async () => {
    await broker?.remove();
    rmSync(folder, { recursive: true, force: true });
  });
  const lives = () => done.flatMap((lane) => lane.lives);

  it('loses no decision, makes none twice, heats nothing unasked, and replays to the last of them', () => {
    expect(done.flatMap(({ complaints }) => complaints)).toEqual([]);
    const total = (key: 'eventsHeard' | 'decisionsKept' | 'restartsKept' | 'cuts') =>
      done.reduce((sum, lane) => sum + lane[key], 0);
    console.info(
      `${lives().length} kills: ${total('eventsHeard')} events heard, ${total('decisionsKept')} decisions kept, ${total('restartsKept')} restarts, ${total('cuts')} changes of phase`,
    );
    expect(total('eventsHeard')).toBeGreaterThan(300);
    expect(total('restartsKept')).toBeGreaterThan(25);
    expect(total('cuts')).toBeGreaterThan(20);
  });

  it('was killed in every kind of moment', () => {
    const moments = counted(lives().map(({ killedIn }) => killedIn));
    console.info([...moments].map(([moment, count]) => `${moment}: ${count}`).join('; '));
    expect([...moments.keys()]).toEqual(expect.arrayContaining(['starting', 'running heads', 'running hearts']));
    expect(lives().filter(({ afterDecisionMs }) => afterDecisionMs < 100).length).toBeGreaterThan(5);
  });

  it('tells coolant on, then heat off, within ten seconds of each start, on a machine that is busy with itself', () => {
    const takenUp = lives().filter(({ isTakenUp, heatOffMs }) => isTakenUp && heatOffMs !== null);
    const times = takenUp.map(({ heatOffMs }) => heatOffMs ?? Number.NaN);
    console.info(
      `heat told off after a start: median ${percentile(times, 0.5).toFixed(0)} ms, worst ${Math.max(...times).toFixed(0)} ms, ${times.length} times`,
    );
    expect(times.length).toBeGreaterThan(25);
    expect(Math.max(...times)).toBeLessThan(10_000);
    expect(takenUp.filter(({ coolantFirst }) => coolantFirst !== true)).toEqual([]);
  });
});
