// What the other tests do fast, at the speed of a real still: a dead-man of 30 s, commands that live 10 s. Prints when the heat went off.
// From the root, after npm run build: node --import ./tests/tools/typescript-hooks.mjs tests/long/real-time.ts
import { type LiveRun, openLiveRun, wait } from '../tools/live-run';
import { type Mosquitto, startMosquitto } from '../tools/mosquitto';

interface Outcome {
  readonly what: string;
  /** From the trouble to the heater being off [s]. */
  readonly heatOffS: number;
  readonly by: 'command' | 'dead-man';
  readonly afterwards: string;
  readonly oldestCommandS: number;
}

interface Scene {
  readonly run: LiveRun;
  readonly broker: Mosquitto;
}

async function offAfter(
  { run: { room } }: Scene,
  fromMs: number,
  withinMs: number,
): Promise<Pick<Outcome, 'heatOffS' | 'by'>> {
  const trips = room.heater.deadManTrips;
  await room.until('the heater is off', () => !room.heater.isOn, withinMs);
  return {
    heatOffS: Number(((performance.now() - fromMs) / 1000).toFixed(1)),
    by: room.heater.deadManTrips > trips ? 'dead-man' : 'command',
  };
}

const scenes: Readonly<Record<string, (scene: Scene) => Promise<Pick<Outcome, 'heatOffS' | 'by'>>>> = {
  'killed, started again after 1 s as the unit does': async (scene) => {
    const fromMs = performance.now();
    await scene.run.daemon().end('SIGKILL');
    await wait(1000);
    scene.run.start();
    return offAfter(scene, fromMs, 40_000);
  },
  'killed, not started again': async (scene) => {
    const fromMs = performance.now();
    await scene.run.daemon().end('SIGKILL');
    const off = await offAfter(scene, fromMs, 40_000);
    scene.run.start();
    return off;
  },
  'frozen for 35 s': async (scene) => {
    const fromMs = performance.now();
    const { child } = scene.run.daemon();
    child.kill('SIGSTOP');
    const off = await offAfter(scene, fromMs, 40_000);
    await wait(35_000 - (performance.now() - fromMs));
    child.kill('SIGCONT');
    return off;
  },
  'broker stopped for 40 s': async (scene) => {
    const fromMs = performance.now();
    await scene.broker.stop();
    const off = await offAfter(scene, fromMs, 40_000);
    await wait(40_000 - (performance.now() - fromMs));
    await scene.broker.start();
    return off;
  },
  'broker stopped for 5 s': async (scene) => {
    await scene.broker.stop();
    await wait(5000);
    await scene.broker.start();
    await wait(15_000);
    return { heatOffS: Number.NaN, by: 'command' };
  },
};

async function play(what: string, act: (typeof scenes)[string]): Promise<Outcome> {
  const broker = await startMosquitto({ lines: ['log_type none'] });
  const run = await openLiveRun({ url: `mqtt://127.0.0.1:${broker.port}` });
  const { room } = run;
  run.start();
  await run.heat();
  await wait(12_000);
  const before = room.commands.length;
  const off = await act({ run, broker });
  const settled = room.commands.length;
  await room.until(
    'it speaks again',
    () => room.commands.length > Math.min(settled, before + 1) && room.state() !== null,
    60_000,
  );
  await wait(5000);
  const heat = room.commands.slice(settled).some(({ drive, value }) => drive === 'element' && value !== 0);
  const outcome: Outcome = {
    what,
    ...off,
    afterwards: `${room.state()?.state}, ${room.state()?.phase}, heat ${heat || room.heater.isOn ? 'ON' : 'off'}`,
    oldestCommandS: Number(Math.max(...room.commands.map(({ ageS }) => ageS)).toFixed(2)),
  };
  await run.remove();
  await broker.remove();
  return outcome;
}

async function main(): Promise<void> {
  const outcomes = await Promise.all(Object.entries(scenes).map(([what, act]) => play(what, act)));
  console.table(outcomes);
  const isWrong = outcomes.some(
    ({ what, afterwards, heatOffS, oldestCommandS }) =>
      oldestCommandS > 10 || heatOffS > 31 || (!what.endsWith('5 s') && !afterwards.endsWith('heat off')),
  );
  process.exitCode = isWrong ? 1 : 0;
}

void main();
