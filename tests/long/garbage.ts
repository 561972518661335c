// Throws payloads and orders of garbage at a daemon over a real Mosquitto, and watches its memory.
// From the root, after npm run build: node --import ./tests/tools/typescript-hooks.mjs tests/long/garbage.ts [payloads 1000000] [seed 1]
import { throwGarbage } from '../tools/fuzz-campaign';
import { openLiveRun, sameAgain, wait } from '../tools/live-run';
import { startMosquitto } from '../tools/mosquitto';

const [payloads = 1_000_000, seed = 1] = process.argv.slice(2).map(Number);
const speed = 60;

async function main(): Promise<void> {
  const broker = await startMosquitto({ lines: ['log_type none'] });
  const url = `mqtt://127.0.0.1:${broker.port}`;
  const run = await openLiveRun({ url, speed });
  run.start();
  await run.heat();
  // Until nobody counts as being at the still any more, orders from elsewhere could rightly be obeyed.
  await wait((1_200_000 / speed) * 1.05);
  const course: { sent: number; residentMB: number }[] = [];
  const result = await throwGarbage({
    run,
    url,
    count: payloads,
    seed,
    orderShare: 0.4,
    perS: 5000,
    told: (sent, residentMB) => {
      if (sent % Math.max(1000, payloads / 20) !== 0) return;
      course.push({ sent, residentMB: Math.round(residentMB) });
      console.log(`${sent}: ${residentMB.toFixed(0)} MB`);
    },
  });
  const code = await run.daemon().end();
  const record = await run.record(sameAgain);
  const { complaints, ...figures } = result;
  console.table({
    ...figures,
    residentMB: JSON.stringify(figures.residentMB),
    ended: code,
    ...record,
    complaints: complaints.length,
  });
  console.table(course);
  for (const complaint of complaints.slice(0, 20)) console.error(complaint);
  await run.remove();
  await broker.remove();
  process.exitCode = complaints.length === 0 && code === 0 && record.replay === 'same' ? 0 : 1;
}

void main();
