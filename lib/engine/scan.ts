import { watchAlarms } from '../alarms/life-cycle';
import { followAttendance } from './attendance';
import { wantDrives } from './control';
import type { Draft } from './course';
import { judgeCut } from './cut';
import { commandDrives } from './drive';
import { estimateStill } from './estimate';
import { heatState } from './hot';
import { takeImage } from './image';
import { interlock } from './interlock';
import { obey } from './orders';
import { followSpout, nextPhase } from './phase';
import { followReceivers } from './receivers';
import type { Event, Input, Plant, Run, ScanResult } from './types';

/**
 * One scan: readings and orders in, commands and events out, and what is remembered for the next. Pure and total: the
 * same plant, run and input give the same result always, and no input makes it throw.
 *
 * Judge the readings, freeze the image, estimate, watch the alarms, obey the orders, make the due cut, move the phase,
 * want drives, let the interlocks have the last word, command.
 */
export function scan(plant: Plant, run: Run, input: Input): ScanResult {
  const now = Number.isFinite(input.now) ? Math.max(input.now, run.now) : run.now;
  const frozen = { ...input, now };
  const { image, events } = takeImage(plant, run.image, frozen);
  const estimate = estimateStill(plant, run, image, now);
  const attendedAtS = followAttendance(plant, run, run.image, frozen);
  const seen: Draft = { run: { ...run, now, image, estimate, attendedAtS }, events: [...flood(input, now), ...events] };
  const watched = watchAlarms(plant, seen);
  const obeyed = obey(plant, watched, input.orders);
  const due = judgeCut(plant, obeyed.run, image, obeyed.run.estimate, now);
  const moved = followReceivers(plant, followSpout(plant, nextPhase(plant, obeyed, due)));
  const wanted = interlock(plant, moved.run, wantDrives(plant, moved.run));
  const commanded = commandDrives(plant, moved.run, wanted);
  const heating = heatState(plant, commanded.run, image) !== 'off';
  const next = heating ? { ...commanded.run, heatAtS: now } : commanded.run;
  return { run: next, commands: commanded.commands, events: moved.events };
}

/** More arrived than a scan can take: what was dropped is said, not hidden. */
function flood(input: Input, now: number): readonly Event[] {
  const { dropped = 0 } = input;
  return dropped === 0 ? [] : [{ kind: 'fault', atS: now, reason: { code: 'fault.flood', numbers: { dropped } } }];
}
