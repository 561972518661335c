import { checkRecipe, checkStill } from '../../lib';
import type { Event } from '../../lib/engine/types';
import type { Log } from '../../lib/replay/log';
import type { Still } from '../../lib/still/schema';
import { createIntake } from '../../nodes/shared/intake';
import { createSession, type Session } from '../../nodes/shared/session';
import { createSimulation } from '../../nodes/shared/simulation';
import { pearSpirit } from '../../simulators/scenarios';
import { good } from './plants';
import { smallPot } from './small-still';

export const still = good(checkStill(smallPot));
export const recipe = good(checkRecipe(pearSpirit));
export const charge = { volumeL: 18, strengthAbv: 0.29 };

/** Points a log holds: what the run is decided by, and nothing a drive reports. */
const logged = ['vapour-temp', 'boiler-temp', 'air-pressure', 'heat-power'] as const;

/** A run node's session without its node. */
export function sessionOn(on: Still = still): Session {
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

/** A log of a simulated run as CSV, a row every second. */
export function makeLog(seconds: number): string {
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

/**
 * A log as messages to a run node, by the rules of replay: the first row starts the run, a scan at every row, what is
 * asked is accepted, a held run is resumed at the next full minute.
 */
export function playLog(log: Log, on: Still): Event[] {
  const session = sessionOn(on);
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
  say('start', log.rows[0]?.timeS ?? 0);
  for (const row of log.rows) {
    for (const [index, value] of row.values.entries())
      if (value !== null) session.take({ topic: log.columns[index], payload: value }, 'm', row.timeS, 0);
    scanAt(row.timeS);
  }
  return events;
}
