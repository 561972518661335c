import { describe, it } from 'vitest';
import { bench, sameAgain, wait } from '../tools/live-run';
import { needs } from '../tools/need';

describe.skipIf(!needs('mosquitto'))('a daemon that stands still', () => {
  it.concurrent('wakes with the heat off, sees that its readings are old, and takes no order that waited meanwhile', async (context) => {
    const { expect } = context;
    const { heated } = bench(context);
    // 7 s of real time are 35 s of the still, more than the dead-man of 6 s allows.
    const { room, daemon, record } = await heated({ speed: 5 });
    const frozenAt = room.commands.length;
    daemon().child.kill('SIGSTOP');
    await wait(6500);
    expect(room.heater).toMatchObject({ isOn: false, deadManTrips: 1 });
    // The feed falls silent too; what was sent before waits in the daemon's socket.
    room.probes.vapourC = null;
    const late = room.order({ order: 'cut' }, 5000);
    await wait(1000);
    expect(room.commands.length).toBe(frozenAt);
    daemon().child.kill('SIGCONT');
    expect(await late).toMatchObject({ accepted: false, why: [expect.stringMatching(/stood still/)] });
    await room.until('held', () => room.state()?.state === 'held');
    await wait(800);
    const after = room.commands.slice(frozenAt);
    expect(after.filter(({ drive, value }) => drive === 'element' && value !== 0)).toEqual([]);
    expect(
      after.filter(({ drive, value }) => drive.endsWith('-valve') && value === 0 && drive === 'heads-valve'),
    ).toEqual([]);
    expect(Math.max(...after.map(({ ageS }) => ageS))).toBeLessThan(1);
    expect(room.state()).toMatchObject({ state: 'held', phase: 'heads' });
    expect(room.events('quality').some(({ point, quality }) => point === 'vapour' && quality === 'stale')).toBe(true);
    expect(room.events('alarm').some((event) => event.alarm === 'scan-stopped' && event.transition === 'raised')).toBe(
      true,
    );
    room.probes.vapourC = 78.5;
    await wait(500);
    await room.attend();
    await room.order({ order: 'acknowledge' });
    expect(await room.order({ order: 'resume' })).toMatchObject({ accepted: true });
    await room.until('heat is on', () => room.heater.isOn);
    expect(await record(sameAgain)).toEqual({ replay: 'same', chain: 'whole' });
  });

  it.concurrent('so long that the broker gave it up comes back held, and is not taken for another', async (context) => {
    const { expect } = context;
    const { heated } = bench(context);
    const { room, daemon } = await heated({ speed: 2 });
    const online = () => room.heard.filter(({ topic }) => topic.endsWith('/online')).at(-1)?.text ?? '';
    daemon().child.kill('SIGSTOP');
    // Keep-alive of 10 s: a broker waits half as long again.
    await room.until('the last will', () => online().includes('"offline"'), 25_000);
    await wait(500);
    const frozenAt = room.commands.length;
    expect(room.heater.isOn).toBe(false);
    daemon().child.kill('SIGCONT');
    await room.until('back', () => online().includes('"online"'), 15_000);
    await room.until('heat told off', () => room.commands.slice(frozenAt).some(({ drive }) => drive === 'element'));
    await wait(1500);
    const after = room.commands.slice(frozenAt);
    expect(after.filter(({ drive, value }) => drive === 'element' && value !== 0)).toEqual([]);
    expect(Math.max(...after.map(({ ageS }) => ageS))).toBeLessThan(1);
    expect(room.state()).toMatchObject({ state: 'held', phase: 'heads' });
    expect(daemon().child.exitCode).toBeNull();
  });

  it.concurrent('while another takes its place ends when it wakes, and says nothing more', async (context) => {
    const { expect } = context;
    const { heated, cleanUp } = bench(context);
    const { room, daemon, start } = await heated({ speed: 5 });
    const first = daemon();
    cleanUp.push(() => first.end('SIGKILL'));
    first.child.kill('SIGSTOP');
    const before = room.commands.length;
    start();
    await room.until('the second tells heat off', () => room.commands.length > before && !room.heater.isOn, 15_000);
    const turned = room.commands.length;
    const second = room.commands[turned - 1]?.id.split('-')[0];
    first.child.kill('SIGCONT');
    expect(await first.exited).toBe(75);
    await wait(500);
    expect(room.commands.slice(before).filter(({ id }) => id.split('-')[0] !== second)).toEqual([]);
    expect(room.state()).toMatchObject({ state: 'held' });
  });
});
