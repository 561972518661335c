import { globSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, it } from 'vitest';
import { bench, type LiveRun, sameAgain, wait } from '../tools/live-run';
import { needs } from '../tools/need';

const library = globSync('/usr/lib/*/faketime/libfaketime.so.1')[0] ?? '';

/** The clock on the wall as the daemon sees it, moved by the test; the monotonic clock goes on as ever. */
function wallClock(folder: string) {
  const file = join(folder, 'offset');
  const put = (offsetS: number) => writeFileSync(file, `${offsetS >= 0 ? '+' : ''}${Math.round(offsetS)}\n`);
  put(0);
  return {
    put,
    environment: {
      LD_PRELOAD: library,
      FAKETIME_TIMESTAMP_FILE: file,
      FAKETIME_NO_CACHE: '1',
      FAKETIME_DONT_FAKE_MONOTONIC: '1',
      TZ: 'Europe/Berlin',
    },
  };
}

const secondsTo = (date: string): number => (Date.parse(date) - Date.now()) / 1000;

/** What the last two seconds of real time held: ten of the still. */
async function look({ room }: LiveRun, during: () => void) {
  const [commands, heard] = [room.commands.length, room.heard.length];
  during();
  await wait(2200);
  const topics = room.heard.slice(heard).map(({ topic }) => topic.split('/').slice(2).join('/'));
  return {
    heat: room.commands
      .slice(commands)
      .filter(({ drive }) => drive === 'element')
      .map(({ value }) => value),
    beats: topics.filter((topic) => topic === 'heartbeat').length,
    points: topics.filter((topic) => topic === 'point/vapour').length,
    events: room.heard
      .slice(heard)
      .filter(({ topic }) => topic.endsWith('/event'))
      .map(({ text }) => text),
    says: room.heard.findLast(({ topic }) => topic.endsWith('/heartbeat'))?.text ?? '',
  };
}

describe.skipIf(!needs('mosquitto') || !needs('libfaketime'))('a clock that jumps', () => {
  it('changes nothing: backwards, forwards, over summer time, from 1970', async (context) => {
    const { expect } = context;
    const { broker, live } = bench(context);
    const { url } = await broker();
    // Dead-man of 3 s, fed every second.
    const run = await live({ url, speed: 5, deadManS: 15 });
    const { room, daemon, heat, start, record, folder } = run;
    const clock = wallClock(folder);
    // A small computer without a clock of its own, just switched on.
    clock.put(secondsTo('1970-01-01T00:00:10Z'));
    start({ env: clock.environment });
    await heat();
    expect(room.state()?.run).toMatch(/^test-pot-19700101-0000\d\d$/);
    const jumps: readonly (readonly [string, string])[] = [
      ['1970', 'the network tells the time'],
      ['2026-04-18T11:00:00Z', 'an hour back'],
      ['2026-04-18T10:00:00Z', 'summer time ends'],
      ['2026-10-25T00:59:59Z', 'a day forward'],
      ['2026-10-26T00:59:59Z', 'back to 1970'],
    ];
    for (const [index, [, what]] of jumps.entries()) {
      const to = jumps[index + 1]?.[0] ?? '1970-01-01T00:00:30Z';
      const seen = await look(run, () => clock.put(secondsTo(to)));
      expect(seen.says, what).toContain(to.slice(0, 10));
      expect(seen.heat.length, what).toBeGreaterThanOrEqual(2);
      expect(new Set(seen.heat), what).toEqual(new Set([1]));
      expect(seen.beats, what).toBeGreaterThanOrEqual(2);
      expect(seen.points, what).toBeGreaterThanOrEqual(2);
      expect(
        seen.events.filter((text) => !text.includes('clock-jumped')),
        what,
      ).toEqual([]);
      expect(room.alarm('clock-jumped'), what).toMatchObject({ active: true, priority: 'low' });
      expect(room.state(), what).toMatchObject({ state: 'running', phase: 'heads', receiver: 'heads' });
    }
    expect(room.heater.deadManTrips).toBe(0);
    expect(await daemon().end()).toBe(0);
    expect(await record(sameAgain)).toEqual({ replay: 'same', chain: 'whole' });
    expect(
      await record((journal, runId) =>
        Array.from(journal.readInputs(runId)).every(
          (input, at, all) => at === 0 || input.now >= (all[at - 1]?.now ?? 0),
        ),
      ),
    ).toBe(true);
  });
});
