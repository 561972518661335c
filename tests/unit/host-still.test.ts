import { describe, expect, it } from 'vitest';
import { createStillHost } from '../../daemon/host/still-host';
import { comparedRun, keptCourse } from '../../daemon/report';
import { type Journal, openJournal, valueOrThrow } from '../../daemon/store';
import { checkRecipe, checkStill } from '../../lib';
import { good, potDocument, potRecipe } from '../tools/plants';

const start = { order: 'start', chargeL: 50, chargeVolPercent: 29 } as const;

function stillroom(more: { journal?: Journal; still?: object } = {}) {
  let monotonicMs = 1000;
  const journal = more.journal ?? valueOrThrow(openJournal(':memory:'));
  const points = { ...potDocument.points, button: { kind: 'attendance' } };
  const still = createStillHost({
    still: good(checkStill({ ...potDocument, points, ...more.still })),
    recipes: [good(checkRecipe(potRecipe))],
    speed: 1,
    journal,
    wallClockMs: () => Date.UTC(1970, 0, 1),
    monotonicMs: () => monotonicMs,
    resumed: null,
  });
  return { still, journal, pass: (seconds: number) => (monotonicMs += seconds * 1000), nowMs: () => monotonicMs };
}

/** A journal that can write nothing while it is told so. */
function failing(journal: Journal): { journal: Journal; fails: (isFailing: boolean) => void } {
  let isFailing = false;
  const failure = { kind: 'full', message: 'the disk is full', remedy: 'Free some space' } as const;
  const failed = () =>
    ({ kind: 'failed', failure, runs: [], waiting: journal.waiting(), retryInMs: 1000 }) as ReturnType<
      Journal['commit']
    >;
  return {
    journal: {
      ...journal,
      commit: () => (isFailing ? failed() : journal.commit()),
      endRun: (...args) => {
        if (!isFailing) return journal.endRun(...args);
        // As the real one: the end is noted, and waits.
        journal.endRun(...args);
        return failed();
      },
    },
    fails: (value) => {
      isFailing = value;
    },
  };
}

describe('a still under its host', () => {
  it('keeps no run in the record that the engine refuses to start, and says why', () => {
    const { still, journal } = stillroom({ still: { remoteOrders: true } });
    const problems = still.order(start, 'remote', 'o1');
    expect(problems.map((one) => one.message)).toEqual(['refused.remote-unattended']);
    expect(still.runId).toBeNull();
    expect(valueOrThrow(journal.runs())).toEqual([]);
  });

  it('hears the readings that came in the same turn as the order to start', () => {
    const { still, nowMs } = stillroom({ still: { remoteOrders: true } });
    still.put('button', 0, undefined, nowMs());
    still.put('button', 1, undefined, nowMs());
    expect(still.order(start, 'remote', 'o1')).toEqual([]);
    const { events, input } = still.turn();
    expect(input.readings).toHaveLength(2);
    expect(events.find((event) => event.kind === 'order')).toMatchObject({ accepted: true });
    expect(still.run.attendedAtS).toBe(still.run.now);
  });

  it('names two runs of one second of a clock that stands still', () => {
    const { still, journal, pass } = stillroom();
    for (let run = 0; run < 3; run += 1) {
      expect(still.order(start, 'still', `start${run}`)).toEqual([]);
      still.turn();
      still.order({ order: 'abort' }, 'still', `abort${run}`);
      still.turn();
      pass(1);
      expect(journal.commit().kind).toBe('ok');
      still.conclude();
    }
    expect(valueOrThrow(journal.runs()).map((run) => run.runId)).toEqual([
      'test-pot-19700101-000000-3',
      'test-pot-19700101-000000-2',
      'test-pot-19700101-000000',
    ]);
  });

  it('keeps the course of a run when it ends, so that nobody has to fold its readings to compare it', () => {
    const { still, journal, pass, nowMs } = stillroom();
    still.order(start, 'still', 's');
    still.turn();
    for (let second = 0; second < 1500; second += 1) {
      pass(1);
      still.put('vapour', 78.4 + second / 200, undefined, nowMs());
      still.put('air', 1003, undefined, nowMs());
      still.put('boiler', 86 + second / 200, undefined, nowMs());
      if (second % 300 === 0) still.order({ order: 'cut' }, 'still', `cut${second}`);
      still.turn();
    }
    const runId = still.runId ?? '';
    still.order({ order: 'abort' }, 'still', 'a');
    still.turn();
    still.conclude();
    const course = keptCourse(journal, valueOrThrow(journal.run(runId)));
    expect(course?.points.length).toBeGreaterThan(3);
    const [kept, folded] = [
      valueOrThrow(comparedRun(journal, runId, 'kept')),
      valueOrThrow(comparedRun({ ...journal, document: () => ({ kind: 'ok', value: null }) }, runId)),
    ];
    expect(folded).toEqual(kept);
  });

  it('outlives a store that fails just as the run ends, and writes the end when it can', () => {
    const { journal, fails } = failing(valueOrThrow(openJournal(':memory:')));
    const { still, pass } = stillroom({ journal });
    still.order(start, 'still', 'o1');
    still.turn();
    still.order({ order: 'reset' }, 'still', 'o2');
    still.order({ order: 'abort' }, 'still', 'o3');
    still.turn();
    fails(true);
    expect(still.conclude()).toBe(false);
    for (let turn = 0; turn < 5; turn += 1) {
      pass(1);
      still.turn();
      expect(still.settle()?.kind).toBe('failed');
      expect(still.order(start, 'still', `again${turn}`)[0]?.message).toMatch(/is not over/);
    }
    fails(false);
    expect(still.settle()?.kind).toBe('ok');
    expect(still.runId).toBeNull();
  });
});
