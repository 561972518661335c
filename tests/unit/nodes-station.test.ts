import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { checkRecipe, checkStill } from '../../lib';
import { keepInFile } from '../../nodes/shared/keep';
import { createOutbox } from '../../nodes/shared/outbox';
import { createVirtualKeep, createVirtualNode } from '../tools/node-red-virtual';
import { good, potDocument, potRecipe } from '../tools/plants';

const still = good(checkStill(potDocument));
const offer = {
  recipe: good(checkRecipe(potRecipe)),
  variant: null,
  charge: { volumeL: 50, strengthAbv: 0.3 },
  unusable: null,
};
const node = (more = {}) => createVirtualNode({ still, offer, ...more });
type Node = ReturnType<typeof node>;

const cold = { vapour: 20, boiler: 25, air: 990 };
async function feed(one: Node, seconds: number, payload: Record<string, number> = cold) {
  for (let second = 0; second < seconds; second += 1) {
    one.give({ payload });
    await one.timers.advance(1000);
  }
}
const told = (one: Node, drive: string) => one.sent.drives.filter((message) => message.drive === drive);

describe('a run node at work', () => {
  it('first of all tells every heat source to be off', async () => {
    const one = node();
    await feed(one, 2);
    expect(told(one, 'element')[0]).toMatchObject({ topic: 'element', payload: 0 });
    expect(told(one, 'element')[0]?.command).toMatchObject({ repeat: false, safe: true, ttlS: 10 });
  });

  it('repeats heat for the dead-man of the device, marked as a repetition', async () => {
    const one = node();
    await feed(one, 2);
    one.order('start');
    await feed(one, 40);
    const on = told(one, 'element').filter((message) => message.payload === 1);
    expect(on.length).toBeGreaterThanOrEqual(3);
    expect(on[0]?.command).toMatchObject({ repeat: false });
    expect(on[1]?.command).toMatchObject({ repeat: true });
  });

  it('writes the run down before heat goes on, but takes heat off at once', async () => {
    const one = node();
    await feed(one, 2);
    one.order('start');
    let resolve = () => {};
    const { save } = one.keep;
    one.keep.save = (saved) => new Promise<void>((yes) => (resolve = () => yes(save(saved))));
    await feed(one, 10);
    expect(told(one, 'element').filter((message) => message.payload === 1)).toEqual([]);
    resolve();
    await one.timers.advance(1);
    one.keep.save = save;
    await feed(one, 20);
    expect(told(one, 'element').some((message) => message.payload === 1)).toBe(true);
    one.keep.save = () => new Promise(() => {});
    one.order('abort');
    await one.timers.advance(20);
    expect(told(one, 'element').at(-1)?.payload).toBe(0);
  });

  it('goes on when the disk is full, and says so once', async () => {
    const one = node();
    await feed(one, 2);
    one.keep.broken = true;
    one.order('start');
    await feed(one, 60);
    expect(told(one, 'element').some((message) => message.payload === 1)).toBe(true);
    expect(one.warnings).toEqual([
      'the run cannot be written down (ENOSPC: no space left); it goes on, but would not survive a restart',
    ]);
    one.keep.broken = false;
    await feed(one, 10);
    one.keep.broken = true;
    await feed(one, 10);
    expect(one.warnings).toHaveLength(2);
  });

  it('leaves the drives safe at a stop, unless told to say nothing', async () => {
    const one = node();
    await feed(one, 2);
    one.order('start');
    await feed(one, 20);
    const last = one.station.close({ removed: false, quiet: false });
    expect(last.map((message) => [message.drive, message.payload])).toEqual([['element', 0]]);
    expect(last[0]?.reason).toBe('stopped in the middle of a run; held until an operator orders resume');
    const quiet = node();
    expect(quiet.station.close({ removed: false, quiet: true })).toEqual([]);
  });

  it('keeps the run through a redeploy, and forgets it only when its node is removed and nothing runs', async () => {
    const keep = createVirtualKeep();
    const one = node({ keep });
    await feed(one, 2);
    one.order('start');
    await feed(one, 20);
    one.station.close({ removed: true, quiet: false });
    const again = node({ keep });
    await feed(again, 1);
    expect(again.session.run).toMatchObject({ state: 'held', phase: 'heat-up' });
    const idle = node();
    await feed(idle, 2);
    idle.station.close({ removed: true, quiet: false });
    expect(idle.keep.text).toBeNull();
  });

  it('keeps a trip through a restart: heat stays off until it is reset', async () => {
    const keep = createVirtualKeep();
    const one = node({ keep });
    await feed(one, 2);
    one.order('start');
    await feed(one, 20);
    await feed(one, 20, { ...cold, boiler: 112 });
    expect(one.session.run.trips.map((trip) => trip.id)).toContain('boiler-over-temperature:boiler');
    const again = node({ keep });
    await feed(again, 20);
    again.order('resume');
    await feed(again, 2);
    expect(again.errors[0]).toMatch(/^resume refused: acknowledge .*boiler.* first$/);
    expect(told(again, 'element').every((message) => message.payload === 0)).toBe(true);
  });

  it('believes nothing it saw before the stop', async () => {
    const keep = createVirtualKeep();
    const one = node({ keep });
    await feed(one, 5);
    one.station.close({ removed: false, quiet: false });
    const again = node({ keep });
    await again.timers.advance(10);
    expect(again.session.run.image.vapour?.quality ?? 'never').toBe('never');
  });

  it('a jump of the wall clock changes nothing', async () => {
    let wallMs = Date.UTC(2026, 0, 1);
    const one = node({ wallMs: () => wallMs });
    await feed(one, 2);
    one.order('start');
    await feed(one, 10);
    const { now } = one.session.run;
    wallMs -= 86_400_000 * 365;
    await feed(one, 5);
    expect(one.session.run.now - now).toBeGreaterThan(4);
    expect(one.session.run.now - now).toBeLessThan(7);
    expect(one.session.run.state).toBe('running');
    expect(one.sent.state.at(-1)?.payload).toMatchObject({ state: 'running' });
  });

  it('shows phase and temperature in twenty letters', async () => {
    const one = node();
    await feed(one, 2);
    expect(one.statuses.at(-1)).toEqual({ fill: 'grey', shape: 'ring', text: 'idle 20.0 °C' });
    one.order('start');
    await feed(one, 2);
    expect(one.statuses.at(-1)).toEqual({ fill: 'green', shape: 'dot', text: 'heat-up 20.0 °C' });
    await feed(one, 20, { ...cold, boiler: 112 });
    expect(one.statuses.at(-1)).toMatchObject({ fill: 'red', text: 'held 20.0 °C' });
    for (const status of one.statuses) expect(status.text.length).toBeLessThanOrEqual(20);
  });
});

describe('a watch node', () => {
  const watch = (more = {}) => createVirtualNode({ still, watchOnly: true, ...more });

  it('raises alarms with guidance, commands nothing, and takes acknowledgements', async () => {
    const one = watch();
    await feed(one, 10);
    expect(one.sent.alarms).toEqual([]);
    await feed(one, 10, { ...cold, vapour: 104 });
    const raised = one.sent.alarms.map((message) => message.payload as Record<string, unknown>);
    expect(raised[0]).toMatchObject({
      alarm: 'vapour-over-temperature:vapour',
      transition: 'raised',
      priority: 'critical',
      interlock: 'heat-off',
      active: true,
    });
    expect(raised[0]).toHaveProperty('reason.text', 'vapour probe vapour at 104.0 °C, limit 102.0 °C');
    expect(one.sent.drives).toEqual([]);
    one.order('acknowledge', { target: 'vapour-over-temperature:vapour' });
    await feed(one, 1, { ...cold, vapour: 104 });
    expect(one.sent.alarms.at(-1)?.transition).toBe('acknowledged');
  });

  it('tells a lost probe of a warm still, and leaves a cold one in peace', async () => {
    const one = watch();
    await feed(one, 5, { vapour: 70, boiler: 86.3, air: 990 });
    await feed(one, 50, { boiler: 86.3, air: 990 });
    expect(one.sent.alarms.map((message) => message.topic)).toEqual(['test-pot/alarm/probe-lost:vapour']);
    expect(one.statuses.at(-1)?.fill).toBe('red');
    const cold = watch();
    await feed(cold, 5);
    await feed(cold, 50, { boiler: 25, air: 990 });
    expect(cold.sent.alarms).toEqual([]);
  });

  it('says nothing of an alarm that is shelved, but goes on judging it', async () => {
    const one = watch();
    await feed(one, 5, { vapour: 70, boiler: 86.3, air: 990 });
    await feed(one, 50, { boiler: 86.3, air: 990 });
    one.order('shelve', { target: 'probe-lost:vapour', forS: 600 });
    await feed(one, 10, { vapour: 70, boiler: 86.3, air: 990 });
    await feed(one, 50, { boiler: 86.3, air: 990 });
    expect(one.sent.alarms.map((message) => message.transition)).toEqual(['raised', 'shelved']);
    expect(one.session.run.alarms['probe-lost:vapour']?.active).toBe(true);
  });

  it('refuses to start anything', async () => {
    const one = watch();
    await feed(one, 2);
    one.order('start');
    await feed(one, 1);
    expect(one.errors.at(-1)).toBe('start refused: no recipe is loaded');
  });

  it('keeps what was acknowledged through a restart', async () => {
    const keep = createVirtualKeep();
    const one = watch({ keep });
    await feed(one, 10, { ...cold, vapour: 104 });
    one.order('acknowledge');
    await feed(one, 2, { ...cold, vapour: 104 });
    one.station.close({ removed: false, quiet: true });
    const again = watch({ keep });
    await feed(again, 10, { ...cold, vapour: 104 });
    expect(again.sent.alarms).toEqual([]);
    expect(again.session.run.alarms['vapour-over-temperature:vapour']).toMatchObject({
      active: true,
      acknowledged: true,
    });
  });
});

describe('the outbox', () => {
  const command = (id: string, value: number, more = {}) => ({
    id,
    drive: 'heat',
    value,
    issuedAtS: 0,
    ttlS: 10,
    repeat: false,
    safe: value === 0,
    reason: { code: 'drive.phase', numbers: {} },
    ...more,
  });

  it('drops a command that waited when a newer one of its drive has gone', () => {
    const box = createOutbox();
    const on = command('c1', 1);
    expect(box.atOnce([on], true)).toEqual([]);
    const off = command('c2', 0);
    expect(box.atOnce([off], true)).toEqual([off]);
    expect(box.afterWriting([on], 1)).toEqual([]);
  });

  it('drops a command that waited longer than it may be carried out', () => {
    const box = createOutbox();
    const on = command('c1', 1);
    box.atOnce([on], true);
    expect(box.afterWriting([on], 11)).toEqual([]);
    expect(box.afterWriting([on], 9)).toEqual([on]);
  });
});

describe('what is written down', () => {
  const folders: string[] = [];
  const folder = () => {
    const made = mkdtempSync(join(tmpdir(), 'middlecut-keep-'));
    folders.push(made);
    return made;
  };
  afterEach(() => {
    for (const one of folders.splice(0)) rmSync(one, { recursive: true, force: true });
  });
  const saved = (phase: 'hearts' | 'tails') => {
    const { plant, run } = node().session;
    return { version: 1 as const, plant, run: { ...run, phase } };
  };

  it('replaces the file as a whole, the newest last, whatever overlaps', async () => {
    const inside = folder();
    const keep = keepInFile(inside, 'node-1');
    expect(keep.load()).toEqual({ kind: 'none' });
    await Promise.all([keep.save(saved('hearts')), keep.save(saved('hearts')), keep.save(saved('tails'))]);
    expect(keep.load()).toMatchObject({ kind: 'ok', saved: { run: { phase: 'tails' } } });
    expect(readdirSync(inside)).toEqual(['node-1.json']);
    keep.saveNow(saved('hearts'));
    expect(keep.load()).toMatchObject({ kind: 'ok', saved: { run: { phase: 'hearts' } } });
    keep.remove();
    expect(keep.load()).toEqual({ kind: 'none' });
  });

  it('tells when it cannot be read, and when it cannot be written', async () => {
    const inside = folder();
    writeFileSync(join(inside, 'node-1.json'), '{"version":1,"run":');
    expect(keepInFile(inside, 'node-1').load().kind).toBe('bad');
    writeFileSync(join(inside, 'node-2.json'), '{"version":7}');
    expect(keepInFile(inside, 'node-2').load()).toEqual({ kind: 'bad', why: 'unknown version or shape' });
    writeFileSync(join(inside, 'file'), 'x');
    await expect(keepInFile(join(inside, 'file'), 'node-1').save(saved('hearts'))).rejects.toThrow(/EEXIST|ENOTDIR/);
  });

  it('keeps every number to the last bit', async () => {
    const inside = folder();
    const keep = keepInFile(inside, 'node-1');
    const given = { ...saved('hearts'), run: { ...saved('hearts').run, now: 0.1 + 0.2, phaseSinceL: Number.NaN } };
    await keep.save(given);
    expect(keep.load()).toEqual({ kind: 'ok', saved: given });
    expect(readFileSync(join(inside, 'node-1.json'), 'utf8')).toContain('0.30000000000000004');
  });
});
