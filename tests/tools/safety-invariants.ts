import type { Command, Event, Plant, Run } from '../../lib';
import { languages } from '../../lib';
import { needsAirPath } from '../../lib/engine/hot';
import { isHeartsOnly } from '../../lib/engine/receiver-room';

/** One scan, as it was given to the drives. */
export interface Scanned {
  readonly plant: Plant;
  readonly before: Run;
  readonly run: Run;
  readonly events: readonly Event[];
  readonly commands: readonly Command[];
}

/** What must hold after every scan, whatever was read and ordered; each broken rule is a line. */
export function brokenRules(scanned: Scanned): string[] {
  return [
    ...noHeatUnlessAllowed(scanned),
    ...neverAllClosed(scanned),
    ...heartsOnlyInHearts(scanned),
    ...tripsStay(scanned),
    ...coolantStays(scanned),
    ...everyReasonHasWords(scanned),
  ];
}

function noHeatUnlessAllowed({ plant, run }: Scanned): string[] {
  return Object.entries(run.drives).flatMap(([id, memory]) => {
    if (plant.still.drives[id]?.kind !== 'heat' || memory.value === 0) return [];
    if (run.trips.length > 0) return [`heat ${memory.value} on ${id} while ${run.trips[0]?.id} stands`];
    return run.state === 'running' ? [] : [`heat ${memory.value} on ${id} while ${run.state}`];
  });
}

/** Counted by what the valves were last told: a close that leaves none open is never given to a hot still. */
function neverAllClosed({ plant, run, commands }: Scanned): string[] {
  const valves = Object.keys(plant.still.drives).filter((id) => plant.still.drives[id]?.kind === 'receiver-valve');
  if (valves.length === 0 || !needsAirPath(plant, run, run.image)) return [];
  const closes = commands.some((command) => valves.includes(command.drive) && command.value === 0 && !command.repeat);
  const allClosed = valves.every((id) => run.drives[id]?.value !== 1);
  return closes && allClosed ? [`all receivers closed while hot (${run.phase}, ${run.state})`] : [];
}

function heartsOnlyInHearts({ plant, before, run, commands }: Scanned): string[] {
  return commands.flatMap((command) => {
    const drive = plant.still.drives[command.drive];
    if (drive?.kind !== 'receiver-valve' || command.value !== 1 || command.repeat) return [];
    if (!isHeartsOnly(plant, drive.receiver) || run.spout.fraction === 'hearts') return [];
    const isOpenPath = command.reason.code === 'interlock.open-path';
    const wasOpen = before.receiver === drive.receiver || run.receiver === drive.receiver;
    return isOpenPath || wasOpen ? [] : [`${command.drive} opened for ${run.spout.fraction ?? 'nothing'}`];
  });
}

/** A trip goes only by an accepted order, and only when its alarm was acknowledged and has gone. */
function tripsStay({ before, run, events }: Scanned): string[] {
  const gone = before.trips.filter((trip) => !run.trips.some((here) => here.id === trip.id));
  if (gone.length === 0) return [];
  const ordered = events.some(
    (event) =>
      event.kind === 'order' && event.accepted && (event.order.kind === 'resume' || event.order.kind === 'reset'),
  );
  if (!ordered) return gone.map((trip) => `${trip.id} went without an order`);
  return gone.flatMap((trip) => {
    const alarm = run.alarms[trip.id];
    if (alarm?.active === true && !run.trips.some((here) => here.id === trip.id))
      return [`${trip.id} went while active`];
    return alarm?.acknowledged === false ? [`${trip.id} went unacknowledged`] : [];
  });
}

/** Coolant is not taken away while heat is commanded. */
function coolantStays({ plant, run, commands }: Scanned): string[] {
  const heated = Object.entries(run.drives).some(
    ([id, memory]) => plant.still.drives[id]?.kind === 'heat' && memory.value !== 0,
  );
  return commands.flatMap((command) =>
    plant.still.drives[command.drive]?.kind === 'coolant' && command.value === 0 && heated
      ? [`coolant taken away under heat (${command.reason.code})`]
      : [],
  );
}

function everyReasonHasWords({ events, commands }: Scanned): string[] {
  const broken: string[] = [];
  const look = (reason: Event['reason'], where: string): void => {
    for (const [code, language] of Object.entries(languages)) {
      const sentence = language.sentences[reason.code];
      if (sentence === undefined) broken.push(`${where}: no sentence for ${reason.code} in ${code}`);
      else {
        for (const [, field = ''] of sentence.matchAll(/\{(\w+)\}/g)) {
          if (field !== 'because' && reason.numbers[field] === undefined)
            broken.push(`${where}: ${reason.code} lacks ${field} (${code})`);
        }
      }
    }
    for (const one of reason.because ?? []) look(one, where);
  };
  for (const event of events) look(event.reason, event.kind);
  for (const command of commands) look(command.reason, `command ${command.drive}`);
  return broken;
}
