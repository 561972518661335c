import { describe, expect, it } from 'vitest';
import { scan } from '../../lib';
import type { Event, Input, Plant, Run } from '../../lib/engine/types';
import { compareDecisions, type Decision, decisionsOf, scanInputs } from '../../lib/record';
import { parseLog } from '../../lib/replay/log';
import { phaseChanges, replayLog } from '../../lib/replay/replay';
import type { Scanned } from '../../nodes/shared/session';
import { createSimulation } from '../../nodes/shared/simulation';
import { charge, makeLog, playLog, recipe, sessionOn, still } from '../tools/node-red-log';
import { good } from '../tools/plants';

describe('the run node and replay', () => {
  it('make the same decisions of the same log, event for event', () => {
    const log = good(parseLog(makeLog(12_000), Object.keys(still.points)));
    const asked = { recipe, variant: 'white', still, charge, log, pressureHPa: null, altitudeM: null };
    const replayed = good(replayLog(asked));
    // The still as replay sees it: the points of the log. Messages in, as a flow would send them; the same clock.
    const events = playLog(log, replayed.plant.still);
    const plain = (list: readonly Event[]) => JSON.parse(JSON.stringify(list)) as unknown;
    expect(phaseChanges(events).map((event) => event.to)).toEqual(
      expect.arrayContaining(['heat-up', 'foreshots', 'heads', 'hearts', 'tails']),
    );
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
