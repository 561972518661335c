import { describe, expect, it } from 'vitest';
import { checkRecipe, checkStill, scan } from '../../lib';
import type { Event, Input, Plant, Run } from '../../lib/engine/types';
import { compareDecisions, type Decision, decisionsOf, scanInputs } from '../../lib/record';
import { parseLog } from '../../lib/replay/log';
import { phaseChanges, replayLog } from '../../lib/replay/replay';
import { createIntake } from '../../nodes/shared/intake';
import { createSession, type Scanned } from '../../nodes/shared/session';
import { createSimulation } from '../../nodes/shared/simulation';
import { pearSpirit } from '../../simulators/scenarios';
import { good } from '../tools/plants';
import { smallPot } from '../tools/small-still';

const still = good(checkStill(smallPot));
const recipe = good(checkRecipe(pearSpirit));
const charge = { volumeL: 18, strengthAbv: 0.29 };

/** Points a log holds: what the run is decided by, and nothing a drive reports. */
const logged = ['vapour-temp', 'boiler-temp', 'air-pressure', 'heat-power'] as const;

/** A log of a simulated run as CSV, every second a row, driven by the engine itself. */
function makeLog(seconds: number): string {
  const simulation = createSimulation({ still, chargeL: 18, chargeAbv: 0.29, seed: 3 });
  const session = sessionOn();
  const lines = [`timeS,${logged.join(',')}`];
  session.take({ topic: 'order', payload: 'start' }, 'o', 0, 0);
  for (let now = 1; now <= seconds && session.run.phase !== 'cool-down'; now += 1) {
    const readings = new Map(simulation.advance(now).map(({ point, value }) => [point, value]));
    for (const [topic, payload] of readings) session.take({ topic, payload }, `${topic}${now}`, now, 0);
    if (now % 600 === 0) session.take({ topic: 'order', payload: 'attend' }, `a${now}`, now, 0);
    for (const command of session.scan(now).commands) simulation.command(command.drive, command.value, command.ttlS);
    lines.push([now, ...logged.map((point) => readings.get(point) ?? '')].join(','));
  }
  return lines.join('\n');
}

function sessionOn(on = still) {
  return createSession(
    {
      still: on,
      watchOnly: false,
      intake: createIntake(on, [], null),
      from: 'still',
      offer: () => ({ recipe, variant: 'white', charge, unusable: null }),
    },
    null,
  );
}

describe('the run node and replay', () => {
  const csv = makeLog(12_000);
  const log = good(parseLog(csv, Object.keys(still.points)));
  const replayed = good(
    replayLog({ recipe, variant: 'white', still, charge, log, pressureHPa: null, altitudeM: null }),
  );

  it('make the same decisions of the same log, event for event', () => {
    // The still as replay sees it: the points of the log. Messages in, as a flow would send them; the same clock.
    const session = sessionOn(replayed.plant.still);
    const events: Event[] = [];
    let orders = 0;
    const say = (order: string, now: number, target?: string) => {
      orders += 1;
      const payload = { order, id: `replay-${orders}`, by: 'replay', ...(target === undefined ? {} : { target }) };
      session.take({ topic: 'order', payload }, 'm', now, 0);
    };
    const scanAt = (now: number) => {
      const scanned = session.scan(now);
      events.push(...scanned.events);
      for (const event of scanned.events) {
        if (event.kind === 'cut-asked' || (event.kind === 'surge' && event.state === 'asked')) say('cut', now);
        if (event.kind === 'spout-asked') say('spout-moved', now);
      }
      if (scanned.run.state === 'held' && Math.floor(now) % 60 === 0) {
        say('acknowledge', now);
        say('resume', now);
      }
    };
    say('start', 1);
    for (const row of log.rows) {
      for (const [index, value] of row.values.entries())
        if (value !== null) session.take({ topic: log.columns[index], payload: value }, 'm', row.timeS, 0);
      scanAt(row.timeS);
    }
    const plain = (list: readonly Event[]) => JSON.parse(JSON.stringify(list)) as unknown;
    expect(phaseChanges(events).map((event) => event.to)).toEqual(
      expect.arrayContaining(['heat-up', 'foreshots', 'heads', 'hearts', 'tails']),
    );
    expect(plain(phaseChanges(events))).toEqual(plain(phaseChanges(replayed.events)));
    expect(plain(events)).toEqual(plain(replayed.events));
  });

  it('agree on every decision of the node: its scans folded by the engine again', () => {
    const session = sessionOn();
    const simulation = createSimulation({ still, chargeL: 18, chargeAbv: 0.29, seed: 11 });
    const inputs: Input[] = [];
    const recorded: Decision[] = [];
    let begun: { plant: Plant; run: Run } | null = null;
    const note = (scanned: Scanned) => {
      inputs.push(scanned.input);
      recorded.push(...decisionsOf(scanned.input, scanned));
    };
    for (let now = 1; now < 9000; now += 1) {
      for (const { point, value } of simulation.advance(now))
        session.take({ topic: point, payload: value }, 'm', now, 0);
      if (now % 600 === 0) session.take({ topic: 'order', payload: 'attend' }, `a${now}`, now, 0);
      if (now === 20) {
        session.take({ topic: 'order', payload: 'start' }, 'start', now, 0);
        begun = { plant: session.plant, run: session.run };
      }
      const scanned = session.scan(now);
      if (begun !== null) note(scanned);
      for (const command of scanned.commands) simulation.command(command.drive, command.value, command.ttlS);
    }
    const again: Decision[] = [];
    for (const { input, result } of scanInputs(scan, begun!.plant, begun!.run, inputs))
      again.push(...decisionsOf(input, result));
    expect(compareDecisions(recorded, again)).toEqual({ kind: 'same', decisions: recorded.length });
    expect(recorded.length).toBeGreaterThan(20);
  });
});
