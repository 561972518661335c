import { afterEach, describe, expect, it } from 'vitest';
import { createAnnouncer } from '../../daemon/host/announce';
import { createHost, type Outlet } from '../../daemon/host/host';
import { createStillHost, type StillHost } from '../../daemon/host/still-host';
import { type Committed, type Journal, openJournal } from '../../daemon/store';
import { checkRecipe, checkStill, english } from '../../lib';
import { good, potDocument, potRecipe } from '../tools/plants';

const quiet = { info: () => undefined, warn: () => undefined, error: () => undefined };
const isOk: Committed = { kind: 'ok', decisions: 0, chunks: 0 };

function openMemory(): Journal {
  const opened = openJournal(':memory:');
  if (opened.kind === 'failed') throw new Error(opened.failure.message);
  return opened.value;
}

/** Two stills under one host, with a clock that is moved by hand and an outlet that listens. */
function stillroom(journal: Journal, said: string[] = []) {
  let nowMs = 0;
  const recipe = good(checkRecipe(potRecipe));
  const stills = ['first', 'second'].map((id) =>
    createStillHost({
      still: good(checkStill({ ...potDocument, id })),
      recipes: [recipe],
      speed: 1,
      journal,
      wallClockMs: () => 1.7e12 + nowMs,
      monotonicMs: () => nowMs,
      resumed: null,
    }),
  );
  const outlet: Outlet = {
    retain: (topic, payload) => said.push(`retain ${topic} ${payload}`),
    event: (topic, payload) => said.push(`event ${topic} ${payload}`),
    passing: () => undefined,
    command: (still, command) => said.push(`command ${still.still.id}/${command.drive} ${command.value}`),
  };
  const host = createHost({
    stills,
    journal,
    outlet,
    announcer: createAnnouncer(english),
    log: quiet,
    wallClockMs: () => 1.7e12 + nowMs,
    tickMs: 1e9,
    onFault: (error) => {
      throw error;
    },
  });
  const second = (still: StillHost, vapour: number) => {
    for (const [point, value] of [
      ['vapour', vapour],
      ['boiler', 60],
      ['air', 990],
    ] as const)
      still.put(point, value, undefined, nowMs);
  };
  return {
    stills: stills as [StillHost, StillHost],
    host,
    said,
    /** Lets some seconds pass with readings for both stills. */
    pass(seconds: number, vapour = 30) {
      for (let count = 0; count < seconds; count += 1) {
        nowMs += 1000;
        for (const still of stills) second(still, vapour);
        host.flush();
      }
    },
  };
}

const journals: Journal[] = [];
function memory(): Journal {
  const journal = openMemory();
  journals.push(journal);
  return journal;
}
afterEach(() => {
  for (const journal of journals.splice(0)) journal.close();
});
const start = { order: 'start', chargeL: 50, chargeVolPercent: 29 } as const;

describe('host', () => {
  it('runs several stills apart, with one commit a turn', () => {
    const journal = memory();
    let commits = 0;
    const room = stillroom({
      ...journal,
      commit: () => {
        commits += 1;
        return journal.commit();
      },
    });
    room.pass(20);
    commits = 0;
    expect(room.stills[0].order(start, 'still', 'o1')).toEqual([]);
    room.pass(30);
    expect(commits).toBe(30);
    expect(room.stills[0].run.state).toBe('running');
    expect(room.stills[1].run.state).toBe('idle');
    expect(room.said).toContain('command first/element 1');
    expect(room.said).not.toContain('command second/element 1');
    const runs = journal.runs();
    expect(runs.kind === 'ok' && runs.value.map((run) => run.still)).toEqual(['first']);
  });

  it('writes a decision down before its command leaves', () => {
    const journal = memory();
    const said: string[] = [];
    const commit = () => {
      said.push(`commit of ${journal.waiting().decisions}`);
      return journal.commit();
    };
    const room = stillroom({ ...journal, commit }, said);
    room.pass(20);
    room.stills[0].order(start, 'still', 'o1');
    room.pass(20);
    const heated = said.indexOf('command first/element 1');
    const written = said.slice(0, heated).findLastIndex((line) => line.startsWith('commit of '));
    expect(heated).toBeGreaterThan(0);
    expect(said[written]).not.toBe('commit of 0');
    expect(said.slice(written, heated).some((line) => line.startsWith('event '))).toBe(false);
    // Towards the safe state nothing waits: coolant is commanded before the commit of its turn.
    const opened = said.indexOf('command first/coolant 1');
    const commits = (lines: readonly string[]) => lines.filter((line) => line.startsWith('commit of ')).length;
    const started = said.findIndex((line) => line.includes('"to":"heat-up"'));
    expect(opened).toBeGreaterThan(0);
    expect(opened).toBeLessThan(started);
    expect(commits(said.slice(opened, started))).toBe(1);
  });

  it('withholds what is not towards the safe state while the record cannot be written, and says it when it can', () => {
    const journal = memory();
    let fails = false;
    const failure = { kind: 'full', message: 'the disk is full', remedy: 'Free some space' } as const;
    const waiting = { scans: 0, decisions: 0, bytes: 0 };
    const room = stillroom({
      ...journal,
      commit: () => (fails ? { kind: 'failed', failure, runs: [], waiting, retryInMs: 1000 } : journal.commit()),
    });
    room.pass(20);
    room.stills[0].order(start, 'still', 'o1');
    fails = true;
    room.pass(40);
    const heat = () => room.said.filter((line) => line.startsWith('command first/element'));
    expect(heat()).not.toContain('command first/element 1');
    // Coolant is towards the safe state.
    expect(room.said).toContain('command first/coolant 1');
    fails = false;
    room.pass(60);
    expect(heat()).toContain('command first/element 1');
    room.stills[0].order({ order: 'hold' }, 'still', 'o2');
    fails = true;
    room.pass(1);
    expect(heat().at(-1)).toBe('command first/element 0');
  });

  it('refuses a start that cannot be recorded, or that asks for what is not there', () => {
    const journal = memory();
    const room = stillroom({
      ...journal,
      beginRun: () => ({
        kind: 'failed',
        failure: { kind: 'full', message: 'the disk is full', remedy: 'Free some space' },
      }),
      commit: () => isOk,
    });
    room.pass(20);
    const [refused] = room.stills[0].order(start, 'still', 'o1');
    expect(refused?.message).toMatch(/the record cannot be written: the disk is full/);
    const problems = room.stills[1].order({ order: 'start', recipe: 'Other', chargeL: 5 }, 'still', 'o2');
    expect(problems.map((one) => one.path)).toEqual(['recipe', 'chargeVolPercent']);
    expect(room.stills[0].run.state).toBe('idle');
  });

  it('says phase and state for late readers, and every decision as an event in words', () => {
    const room = stillroom(memory());
    room.pass(20);
    room.stills[0].order(start, 'still', 'o1');
    room.pass(2);
    expect(room.said).toContain('retain middlecut/first/phase heat-up');
    const event = room.said.find(
      (line) => line.startsWith('event middlecut/first/event') && line.includes('"kind":"phase"'),
    )!;
    const told = JSON.parse(event.slice(event.indexOf('{'))) as { reason: { text: string }; at: string };
    expect(told.reason.text).toBe('started by at the still');
    expect(told.at).toMatch(/^2023-11-14T/);
    const answer = room.said.find((line) => line.includes('order/answer'))!;
    expect(JSON.parse(answer.slice(answer.indexOf('{')))).toMatchObject({ order: 'start', id: 'o1', accepted: true });
  });
});
