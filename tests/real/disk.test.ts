import { mkdirSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { describe, it } from 'vitest';
import { runMiddlecut } from '../tools/daemon-process';
import { damagedCopy, damages } from '../tools/damage';
import { bench, sameAgain, wait } from '../tools/live-run';
import { needs } from '../tools/need';
import { randomOf } from '../tools/random';
import { canMount, mountSmallDisk } from '../tools/small-disk';

describe.skipIf(!needs('mosquitto') || !canMount())('a disk that fills up under a run', () => {
  it.concurrent('is told by alarm; heat is fed and taken off; what must be recorded first is held back; the run can be resumed', async (context) => {
    const { expect } = context;
    const { heated, cleanUp } = bench(context);
    const disk = mountSmallDisk(3);
    cleanUp.push(disk.remove);
    const { room, daemon, record } = await heated({ speed: 5, folder: disk.folder });
    disk.fill();
    await room.until('the alarm', () => room.alarm('store-failing')?.active === true, 20_000);
    expect(room.alarm('store-failing')).toMatchObject({
      reason: { text: expect.stringMatching(/the journal cannot be written: .*disk is full/) },
      doNow: expect.stringMatching(/Free or replace the disk/),
    });
    expect(daemon().text()).toMatch(/ERROR the journal .* could not grow: the disk is full .*Free some space/);
    // The dead-man of 6 s is still fed.
    const fed = room.commands.length;
    await room.until('heat is told again', () =>
      room.commands.slice(fed).some(({ drive, value }) => drive === 'element' && value === 1),
    );
    await room.until('the state tells of it', () => room.state()?.alarmFigures?.own.includes('store-failing') === true);
    expect(room.heater).toMatchObject({ isOn: true, deadManTrips: 0 });
    // A cut would switch a receiver: that is held back, and the run with it.
    const before = room.commands.length;
    expect(await room.order({ order: 'cut' })).toMatchObject({ accepted: true });
    await room.until('held', () => room.state()?.state === 'held');
    await room.until('heat off', () => !room.heater.isOn);
    expect(room.heater.deadManTrips).toBe(0);
    await wait(1500);
    expect(room.stands.get('heads-valve')).toBe(1);
    expect(room.commands.slice(before).filter(({ drive, value }) => drive === 'hearts-valve' && value === 1)).toEqual(
      [],
    );
    const told = room.commands.slice(before).filter(({ drive }) => drive === 'element');
    const off = told.findIndex(({ value }) => value === 0);
    expect(told.slice(off).filter(({ value }) => value !== 0)).toEqual([]);
    // Room again: the record goes on, the run as after a restart, by order.
    disk.empty();
    await room.until('the alarm returns', () => room.alarm('store-failing')?.active === false, 40_000);
    await room.until('the receiver is proven', () => room.state()?.receiver !== null);
    expect(room.state()).toMatchObject({ state: 'held', phase: 'hearts' });
    await room.attend();
    await room.order({ order: 'acknowledge' });
    expect(await room.order({ order: 'resume' })).toMatchObject({ accepted: true });
    await room.until('heat is on', () => room.heater.isOn);
    expect(await record(sameAgain)).toEqual({ replay: 'same', chain: 'whole' });
  });

  it.concurrent('or is read-only when the daemon starts: the still is watched, no run can start, and the open one is taken up later', async (context) => {
    const { expect } = context;
    const { heated, cleanUp } = bench(context);
    const disk = mountSmallDisk(8);
    cleanUp.push(disk.remove);
    const { room, daemon, start } = await heated({ speed: 5, folder: disk.folder });
    await daemon().end('SIGKILL');
    disk.setReadOnly(true);
    const before = room.commands.length;
    start();
    await daemon().until(/ERROR .*(read-only|could not be opened).*No run can start/);
    await room.until('heat off', () =>
      room.commands.slice(before).some(({ drive, value }) => drive === 'element' && value === 0),
    );
    await room.until('the alarm', () => room.alarm('store-failing')?.active === true);
    await room.attend();
    expect(await room.order({ order: 'start', chargeL: 50, chargeVolPercent: 29 })).toMatchObject({
      accepted: false,
      why: [expect.stringMatching(/the record cannot be written/)],
    });
    disk.setReadOnly(false);
    await daemon().until(/run .* was left open in heads: held/, 20_000);
    await room.until('held', () => room.state()?.state === 'held' && room.state()?.phase === 'heads');
    await room.until('the alarm returns', () => room.alarm('store-failing')?.active === false);
    await room.attend();
    await room.order({ order: 'acknowledge' });
    expect(await room.order({ order: 'resume' })).toMatchObject({ accepted: true });
    await room.until('heat is on', () => room.heater.isOn);
  });
});

describe.skipIf(!needs('mosquitto'))('a record that is not as it was left', () => {
  it.concurrent('locked by another program for a while: the daemon starts, and takes the run up when it can', async (context) => {
    const { heated } = bench(context);
    const { room, daemon, start, folder } = await heated({ speed: 5 });
    await daemon().end('SIGKILL');
    const other = new DatabaseSync(join(folder, 'data', 'record.sqlite'));
    other.exec('PRAGMA locking_mode = EXCLUSIVE; BEGIN EXCLUSIVE');
    start();
    await daemon().until(/ERROR .* is locked by another/);
    await room.until('the alarm', () => room.alarm('store-failing')?.active === true);
    other.exec('ROLLBACK');
    other.close();
    await daemon().until(/run .* was left open in heads: held/, 20_000);
    await room.until('held', () => room.state()?.state === 'held');
    await room.until('the alarm returns', () => room.alarm('store-failing')?.active === false);
  });

  it.concurrent('damaged in every way: the daemon starts, tells heat off, says what became of the run, and keeps the damaged file', async (context) => {
    const { expect } = context;
    const { heated, cleanUp } = bench(context);
    const { room, daemon, folder, configFile } = await heated({ speed: 20 });
    for (let note = 0; note < 40; note += 1)
      await room.order({ order: 'note', text: `note ${note} ${'x'.repeat(200)}` });
    await wait(1500);
    await daemon().end('SIGKILL');
    const { uniform } = randomOf(5);
    const outcomes = new Map<string, number>();
    for (const [number, damage] of [...damages, ...damages.slice(0, 4)].entries()) {
      const data = join(folder, `damaged-${number}`);
      mkdirSync(data);
      damagedCopy(join(folder, 'data'), data, damage, uniform);
      const before = room.commands.length;
      const one = runMiddlecut(['serve', '--config', configFile], { env: { MIDDLECUT_DATA: data } });
      cleanUp.push(() => one.end('SIGKILL'));
      await one.until(/serving Test pot/);
      await room.until(`${damage}: heat off`, () =>
        room.commands.slice(before).some(({ drive, value }) => drive === 'element' && value === 0),
      );
      const isAside = readdirSync(data).some((name) => name.includes('.damaged-'));
      expect(room.commands.slice(before).filter(({ drive, value }) => drive === 'element' && value !== 0)).toEqual([]);
      if (isAside) {
        await room.until('the alarm', () => room.alarm('record-set-aside')?.active === true);
        expect(room.alarm('record-set-aside')?.reason.text).toMatch(/was damaged and set aside as .*damaged-1/);
        expect(one.text()).toMatch(/alarm record-set-aside raised/);
      } else if (!damage.startsWith('wal')) expect(one.text()).toMatch(/was left open in|cannot be taken up/);
      const isHeld = /was left open in (heat-up|heads): held/.test(one.text());
      const outcome = `${isAside ? 'set aside' : 'kept'}, ${isHeld ? 'run held' : 'run lost'}`;
      outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
      expect(await one.end()).toBe(0);
    }
    console.info([...outcomes].map(([outcome, count]) => `${outcome}: ${count}`).join('; '));
    expect(outcomes.get('set aside, run held') ?? 0).toBeGreaterThan(0);
    expect((outcomes.get('set aside, run held') ?? 0) + (outcomes.get('kept, run held') ?? 0)).toBeGreaterThan(4);
  });
});
