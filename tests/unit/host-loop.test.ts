import { describe, expect, it } from 'vitest';
import { engine } from '../../daemon/host/restore';
import { replayRun, valueOrThrow } from '../../daemon/store';
import { hostRoom } from '../tools/host-room';

/** A room with a run in heads, heat on. */
function running() {
  const room = hostRoom();
  room.host.start();
  room.pass(5, 20);
  expect(room.order({ order: 'start', chargeL: 50, chargeVolPercent: 29 })).toEqual([]);
  room.pass(20);
  room.order({ order: 'cut' });
  room.pass(30);
  expect(room.still.run).toMatchObject({ phase: 'heads', state: 'running', receiver: 'heads' });
  expect(room.valueOf('element')).toBe(1);
  return room;
}

describe('commands and the record', () => {
  it('lets a command wait out a store that is only busy, and then sends it', () => {
    const room = running();
    room.fail(true);
    room.order({ order: 'cut' });
    const before = room.told.length;
    room.pass(2);
    expect(room.told.slice(before).filter(({ drive }) => drive === 'hearts-valve')).toEqual([]);
    room.fail(false);
    room.pass(1);
    expect(room.valueOf('hearts-valve')).toBe(1);
    expect(room.still.run.state).toBe('running');
    room.host.stop();
  });

  it('holds a run that wants what cannot be written down, heat off at once, and goes on as after a restart', () => {
    const room = running();
    room.fail(true);
    room.order({ order: 'cut' });
    room.pass(6);
    expect(room.still.run.state).toBe('held');
    expect(room.valueOf('element')).toBe(0);
    expect(room.valueOf('hearts-valve')).toBe(0);
    // The engine believes by now that hearts are open and heads may close: neither happened.
    expect(room.valueOf('heads-valve')).toBe(1);
    room.pass(60);
    expect(room.valueOf('heads-valve')).toBe(1);
    const before = room.told.length;
    room.fail(false);
    room.pass(1);
    room.pass(30);
    const after = room.told.slice(before);
    const opened = after.findIndex(({ value, drive }) => value === 1 && drive.endsWith('-valve'));
    const closed = after.findIndex(({ value, drive }) => value === 0 && drive === 'heads-valve');
    expect(opened).toBeGreaterThanOrEqual(0);
    expect(closed).toBeGreaterThan(opened);
    expect(after.filter(({ drive, value }) => drive === 'element' && value !== 0)).toEqual([]);
    expect(room.still.run.state).toBe('held');
    room.host.stop();
    const runId = room.still.runId ?? '';
    expect(valueOrThrow(replayRun(room.journal, runId, engine))).toMatchObject({ kind: 'same' });
    const marks = Array.from(room.journal.readDecisions(runId)).flatMap((kept) =>
      kept.kind === 'mark' ? [kept.mark.mark] : [],
    );
    expect(marks).toEqual(['continued']);
  });

  it('never sends an old command after a newer one has gone to the same drive', () => {
    const room = running();
    room.order({ order: 'hold' });
    room.pass(2);
    expect(room.valueOf('element')).toBe(0);
    const before = room.told.length;
    room.fail(true);
    room.order({ order: 'resume' });
    room.pass(1);
    expect(room.still.run.drives.element?.value).toBe(1);
    room.order({ order: 'hold' });
    room.pass(1);
    room.fail(false);
    room.pass(5);
    const heat = room.told.slice(before).filter(({ drive }) => drive === 'element');
    expect(heat.length).toBeGreaterThan(0);
    expect(heat.every(({ value }) => value === 0)).toBe(true);
    room.host.stop();
  });

  it('feeds the dead-man and takes heat off while nothing can be written', () => {
    const room = running();
    room.fail(true);
    const before = room.told.length;
    room.pass(40);
    const heat = room.told.slice(before).filter(({ drive }) => drive === 'element');
    expect(heat.length).toBeGreaterThanOrEqual(3);
    expect(heat.every(({ value }) => value === 1)).toBe(true);
    expect(room.still.run.state).toBe('running');
    room.order({ order: 'stop' });
    room.pass(1);
    expect(room.valueOf('element')).toBe(0);
    room.host.stop();
  });

  it('tells coolant on before heat off when a run goes on after a restart', () => {
    const room = running();
    room.journal.flush();
    expect(room.still.rebuild().kind).toBe('ok');
    const before = room.told.length;
    room.pass(1);
    const first = room.told.slice(before).map(({ drive, value }) => `${drive} ${value}`);
    expect(first.slice(0, 2)).toEqual(['coolant 1', 'element 0']);
    room.host.stop();
  });

  it('tells every drive again after a link that was away, as repetitions', () => {
    const room = running();
    const before = room.told.length;
    room.host.tellAgain();
    const again = room.told.slice(before);
    expect(again.map(({ drive, value }) => [drive, value])).toEqual([
      ['coolant', 1],
      ['element', 1],
      ['heads-valve', 1],
      ['hearts-valve', 0],
      ['tails-valve', 0],
    ]);
    expect(again.every(({ repeat }) => repeat)).toBe(true);
    room.host.stop();
  });
});

describe('what is said', () => {
  it('goes on when the clock on the wall jumps, forwards or backwards, or begins in 1970', () => {
    const room = running();
    for (const jumpMs of [-3_600_000, 7_200_000, -1_700_000_000_000, 1_700_000_000_000]) {
      room.jumpWallClock(jumpMs);
      const before = room.said.length;
      const told = room.told.length;
      room.pass(31);
      const topics = room.said.slice(before).map(({ topic }) => topic.split('/').slice(2).join('/'));
      expect(topics.filter((topic) => topic === 'heartbeat').length).toBeGreaterThanOrEqual(30);
      expect(topics.filter((topic) => topic === 'point/vapour').length).toBeGreaterThanOrEqual(30);
      expect(topics.filter((topic) => topic === 'state').length).toBeGreaterThanOrEqual(3);
      expect(room.still.run).toMatchObject({ phase: 'heads', state: 'running' });
      expect(room.told.slice(told).filter(({ drive }) => drive === 'element').length).toBeGreaterThanOrEqual(3);
    }
    room.host.stop();
  });

  it('has a word on every alarm from the start, so that none an earlier process left stands for ever', () => {
    const room = hostRoom();
    room.host.start();
    const alarms = room.said.filter(({ how, topic }) => how === 'retain' && topic.includes('/alarm/'));
    expect(alarms.length).toBeGreaterThan(20);
    expect(alarms.map(({ text }) => JSON.parse(text).active)).toEqual(alarms.map(() => false));
    room.host.stop();
  });
});
