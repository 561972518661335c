// Starts the daemon on records damaged by chance, and says what became of the run that was open in them.
// From the root, after npm run build: node --import ./tests/tools/typescript-hooks.mjs tests/long/damage.ts [starts 200] [seed 1]
import { mkdirSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { runMiddlecut } from '../tools/daemon-process';
import { damagedCopy, damages } from '../tools/damage';
import { counted } from '../tools/kill-campaign';
import { openLiveRun, wait } from '../tools/live-run';
import { startMosquitto } from '../tools/mosquitto';
import { randomOf } from '../tools/random';

const [starts = 200, seed = 1] = process.argv.slice(2).map(Number);

async function main(): Promise<void> {
  const broker = await startMosquitto({ lines: ['log_type none'] });
  const run = await openLiveRun({ url: `mqtt://127.0.0.1:${broker.port}`, speed: 20 });
  const { room } = run;
  run.start();
  await run.heat();
  for (let note = 0; note < 150; note += 1) {
    await room.order({ order: 'note', text: `note ${note} ${'x'.repeat(1500)}` });
    await wait(100);
  }
  await run.daemon().end('SIGKILL');
  const { uniform } = randomOf(seed);
  const outcomes: string[] = [];
  const complaints: string[] = [];
  for (let number = 0; number < starts; number += 1) {
    const damage = damages[number % damages.length] ?? 'cut off';
    const data = join(run.folder, `damaged-${number}`);
    mkdirSync(data);
    damagedCopy(join(run.folder, 'data'), data, damage, uniform);
    const before = room.commands.length;
    const daemon = runMiddlecut(['serve', '--config', run.configFile], { env: { MIDDLECUT_DATA: data } });
    const isOff = () => room.commands.slice(before).some(({ drive, value }) => drive === 'element' && value === 0);
    await Promise.all([daemon.until(/serving Test pot/, 10_000), room.until('heat off', isOff, 10_000)]).catch(() => {
      complaints.push(`${number} (${damage}): ${daemon.text().slice(-600)}`);
    });
    const isHeld = /was left open in (heat-up|heads): held/.test(daemon.text());
    const isAside = readdirSync(data).some((name) => name.includes('.damaged-'));
    const isHot = room.commands.slice(before).some(({ drive, value }) => drive === 'element' && value !== 0);
    if (isHot) complaints.push(`${number} (${damage}): heat came on`);
    outcomes.push(`${damage}: ${isAside ? 'set aside' : 'kept'}, ${isHeld ? 'run held' : 'run lost'}`);
    const code = await daemon.end();
    if (code !== 0) complaints.push(`${number} (${damage}): ended with ${code}: ${daemon.text().slice(-600)}`);
    rmSync(data, { recursive: true, force: true });
    if ((number + 1) % 20 === 0) console.log(`${number + 1} starts`);
  }
  console.table(Object.fromEntries([...counted(outcomes)].sort()));
  for (const complaint of complaints.slice(0, 20)) console.error(complaint);
  console.log(`${starts} starts, ${complaints.length} complaints`);
  await run.remove();
  await broker.remove();
  process.exitCode = complaints.length === 0 ? 0 : 1;
}

void main();
