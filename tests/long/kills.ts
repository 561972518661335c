// Kills the daemon many times in the middle of runs over a real Mosquitto, and compares its record with what was heard of it.
// From the root, after npm run build: node --import ./tests/tools/typescript-hooks.mjs tests/long/kills.ts [kills 500] [seed 1]
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { counted, killInLanes, percentile } from '../tools/kill-campaign';
import { startMosquitto } from '../tools/mosquitto';

const [kills = 500, seed = 1] = process.argv.slice(2).map(Number);
const lanes = 2;

async function main(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-kills-'));
  const broker = await startMosquitto({ lines: ['log_type none'] });
  const startMs = performance.now();
  let killed = 0;
  const told = () => {
    killed += 1;
    if (killed % 50 === 0) console.log(`${killed} kills`);
  };
  const brokerUrl = `mqtt://127.0.0.1:${broker.port}`;
  const done = await killInLanes({ brokerUrl, folder, kills, seed, speed: 60, told }, lanes);
  await broker.remove();
  const lives = done.flatMap((lane) => lane.lives);
  const sum = (key: 'eventsHeard' | 'decisionsKept' | 'restartsKept' | 'cuts' | 'runs') =>
    done.reduce((total, lane) => total + lane[key], 0);
  const off = lives.flatMap(({ isTakenUp, heatOffMs }) => (isTakenUp && heatOffMs !== null ? [heatOffMs] : []));
  const complaints = done.flatMap((lane) => lane.complaints);
  const table = {
    kills: lives.length,
    'took (s)': Math.round((performance.now() - startMs) / 1000),
    runs: sum('runs'),
    'restarts in the record': sum('restartsKept'),
    'events heard before the kills': sum('eventsHeard'),
    'decisions kept': sum('decisionsKept'),
    'changes of phase': sum('cuts'),
    'within 20 ms of a decision': lives.filter(({ afterDecisionMs }) => afterDecisionMs < 20).length,
    'heat told off after a start, median (ms)': Math.round(percentile(off, 0.5)),
    'heat told off after a start, 99 % (ms)': Math.round(percentile(off, 0.99)),
    'heat told off after a start, worst (ms)': Math.round(Math.max(...off)),
    'coolant first': `${lives.filter(({ isTakenUp, coolantFirst }) => isTakenUp && coolantFirst === true).length} of ${off.length}`,
    complaints: complaints.length,
  };
  console.table(table);
  console.table(Object.fromEntries(counted(lives.map(({ killedIn }) => killedIn))));
  for (const complaint of complaints.slice(0, 20)) console.error(complaint);
  if (complaints.length === 0) rmSync(folder, { recursive: true, force: true });
  else console.error(`records are kept in ${folder}`);
  process.exitCode = complaints.length === 0 ? 0 : 1;
}

void main();
