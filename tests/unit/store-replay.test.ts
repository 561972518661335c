import { DatabaseSync } from 'node:sqlite';
import { describe, expect, it } from 'vitest';
import { type Journal, replayRun, takeUpRun } from '../../daemon/store';
import { createController, freshRun, type Reading, type Run, rebuilt, scan } from '../../lib';
import { randomOf } from '../tools/random';
import { header, plant, take, workshop } from './store-tools';

const { place, open } = workshop();
const engine = { scan, rebuilt };

/** A vapour that climbs through all cuts in two hours and a half, noisy, with a barometer that drifts. */
function readingsAt(now: number, random: ReturnType<typeof randomOf>): Reading[] {
  const boils = now >= 2400;
  const vapourC = boils ? 78 + (now - 2400) / 330 : Math.max(20, 78 - (2400 - now) * 0.6);
  const boilerC = boils ? vapourC + 6 : 20 + now / 37.5;
  const step = (value: number): number => Math.round(value / 0.0625) * 0.0625;
  return [
    { point: 'vapour', value: step(vapourC + 0.15 * random.gauss()), atS: now },
    { point: 'boiler', value: step(boilerC + 0.15 * random.gauss()), atS: now },
    { point: 'air', value: 985 + now / 2000, atS: now },
  ];
}

/** Runs the engine from one second to another over a journal, as the daemon does; checkpoints every ten minutes. */
function operate(journal: Journal, runId: string, start: Run, fromS: number, toS: number, seed = 3): Run {
  const controller = createController(plant, start);
  const random = randomOf(seed + fromS);
  for (let now = fromS; now < toS; now++) {
    if (now === 5) controller.order({ id: 'start', kind: 'start', by: 'Ada', from: 'still' });
    if (controller.run.state === 'held' && now % 30 === 10) {
      controller.order({ id: `resume-${now}`, kind: 'resume', by: 'Ada', from: 'still' });
    }
    for (const reading of readingsAt(now, random)) controller.put(reading);
    const result = controller.scan(now);
    journal.append(runId, result.input, result);
    const isMark = now % 600 === 599;
    if (isMark) journal.checkpoint(runId, controller.run);
    expect((isMark ? journal.flush() : journal.commit()).kind).toBe('ok');
  }
  return controller.run;
}

describe('replaying a run from its record', () => {
  it('makes every decision again, twice, from a file closed and opened in between', () => {
    const path = place();
    const writing = open(path);
    take(writing.beginRun(header('r1')));
    const run = operate(writing, 'r1', freshRun(0), 0, 9000);
    expect(run.phase).not.toBe('idle');
    writing.endRun('r1', 'complete', null);
    writing.close();
    const journal = open(path, { readOnly: true });
    const phases = Array.from(journal.readDecisions('r1')).filter(
      (kept) => kept.kind === 'decision' && kept.decision.kind === 'event' && kept.decision.event.kind === 'phase',
    );
    expect(phases.length).toBeGreaterThanOrEqual(4);
    const first = take(replayRun(journal, 'r1', engine));
    expect(first).toMatchObject({ kind: 'same' });
    expect(first.kind === 'same' ? first.decisions : 0).toBeGreaterThan(10);
    expect(take(replayRun(journal, 'r1', engine))).toEqual(first);
  });

  it('shows the first decision that a changed engine makes otherwise', () => {
    const journal = open(place());
    take(journal.beginRun(header('r1')));
    operate(journal, 'r1', freshRun(0), 0, 1200);
    journal.flush();
    const changed: typeof scan = (still, run, input) => {
      const result = scan(still, run, input);
      const events = result.events.map((event) => (event.kind === 'phase' ? { ...event, atS: event.atS + 1 } : event));
      return { ...result, events };
    };
    const compared = take(replayRun(journal, 'r1', { ...engine, scan: changed }));
    expect(compared).toMatchObject({ kind: 'different', recorded: { kind: 'event', event: { kind: 'phase' } } });
  });

  it('is refused for a thinned run, which says why', () => {
    const journal = open(place());
    take(journal.beginRun(header('r1')));
    operate(journal, 'r1', freshRun(0), 0, 100);
    journal.endRun('r1', 'stopped', null);
    take(journal.thin('r1', 'Ada'));
    expect(replayRun(journal, 'r1', engine)).toMatchObject({ kind: 'failed', failure: { kind: 'not-replayable' } });
  });
});

describe('taking up a run after a restart', () => {
  it('goes on from what is written, held, and the record replays across it', () => {
    const path = place();
    const before = open(path, { check: 'none' });
    take(before.beginRun(header('r1')));
    const running = operate(before, 'r1', freshRun(0), 0, 2000);
    before.flush();
    expect(running.state).toBe('running');
    // No close: the process is gone. Another one opens the file.
    const after = open(path);
    expect(take(after.openRuns()).map(({ runId }) => runId)).toEqual(['r1']);
    const taken = take(takeUpRun(after, 'r1', engine));
    expect(taken).toEqual(rebuilt(plant, running));
    expect(taken.state).toBe('held');
    const run = operate(after, 'r1', taken, 2000, 3000);
    expect(run.state).toBe('running');
    after.endRun('r1', 'stopped', null);
    expect(take(after.verify('r1'))).toMatchObject({ kind: 'whole' });
    expect(take(replayRun(after, 'r1', engine))).toMatchObject({ kind: 'same' });
    const marks = Array.from(after.readDecisions('r1')).flatMap((kept) =>
      kept.kind === 'mark' ? [[kept.mark.mark, kept.scan]] : [],
    );
    expect(marks).toEqual([
      ['continued', 2000],
      ['ended', 3000],
    ]);
  });

  it('reads only what came after the last checkpoint, and comes to the same state as from the start', () => {
    const path = place();
    const before = open(path);
    take(before.beginRun(header('r1')));
    const running = operate(before, 'r1', freshRun(0), 0, 1700);
    before.flush();
    const after = open(path);
    expect(take(after.latestCheckpoint('r1'))).toMatchObject({ scan: 1200, restarts: 0 });
    const taken = take(takeUpRun(after, 'r1', engine));
    after.close();
    const file = new DatabaseSync(path);
    file.exec('DELETE FROM checkpoints');
    file.close();
    const again = open(path);
    expect(take(takeUpRun(again, 'r1', engine))).toEqual(rebuilt(plant, rebuilt(plant, running)));
    expect(taken).toEqual(rebuilt(plant, running));
  });

  it('counts a restart once when a checkpoint was taken right after it', () => {
    const path = place();
    // An engine that shows how often it was rebuilt, and changes nothing else.
    const counting = {
      ...engine,
      rebuilt: (_plant: unknown, run: Run): Run => ({ ...run, commandCount: run.commandCount + 1000 }),
    };
    const before = open(path);
    take(before.beginRun(header('r1')));
    for (let now = 0; now < 3; now++)
      before.append('r1', { now, readings: [], orders: [] }, { events: [], commands: [] });
    before.flush();
    const between = open(path);
    const once = take(takeUpRun(between, 'r1', counting));
    between.checkpoint('r1', once);
    between.flush();
    const after = open(path);
    expect(take(after.latestCheckpoint('r1'))).toMatchObject({ scan: 3, restarts: 1 });
    expect(take(takeUpRun(after, 'r1', counting)).commandCount).toBe(once.commandCount + 1000);
  });

  it('keeps the newest checkpoints only', () => {
    const path = place();
    const journal = open(path, { keepCheckpoints: 2 });
    take(journal.beginRun(header('r1')));
    operate(journal, 'r1', freshRun(0), 0, 3100);
    journal.flush();
    const file = new DatabaseSync(path, { readOnly: true });
    expect(
      file
        .prepare('SELECT scan FROM checkpoints ORDER BY scan')
        .all()
        .map(({ scan: at }) => at),
    ).toEqual([2400, 3000]);
    file.close();
    expect(take(journal.latestCheckpoint('r1', 2999))).toMatchObject({ scan: 2400 });
  });

  it('is refused for a run that has ended', () => {
    const journal = open(place());
    take(journal.beginRun(header('r1')));
    journal.endRun('r1', 'complete', null);
    expect(takeUpRun(journal, 'r1', engine)).toMatchObject({ kind: 'failed', failure: { kind: 'conflict' } });
  });

  it('several times over keeps every restart in the record', () => {
    const path = place();
    let journal = open(path);
    take(journal.beginRun(header('r1')));
    let run = operate(journal, 'r1', freshRun(0), 0, 700);
    journal.flush();
    for (let i = 1; i <= 3; i++) {
      journal = open(path);
      run = take(takeUpRun(journal, 'r1', engine));
      run = operate(journal, 'r1', run, i * 700, (i + 1) * 700);
      journal.flush();
    }
    journal.endRun('r1', 'stopped', null);
    expect(take(journal.verify('r1')).kind).toBe('whole');
    expect(take(replayRun(journal, 'r1', engine))).toMatchObject({ kind: 'same' });
    expect(run.now).toBe(2799);
  });
});
