import type { Command, Event } from '../../lib/engine/types';
import type { Drive, Still } from '../../lib/still/schema';
import { eventMessage } from '../../lib/wire/said';
import { sayName, sayReason } from '../../lib/words';
import { type AlarmEvent, type Edge, isHeard, sayAlarm } from './announce';
import type { Scanned } from './session';

/** How a command is written into msg.payload. */
export type PayloadForm = 'share' | 'percent' | 'boolean' | 'on-off' | 'words';

/** One line of the commands table as the editor keeps it. */
export interface CommandRow {
  readonly drive: string;
  /** Topic of the message; the name of the drive if empty. */
  readonly topic?: string;
  readonly form?: PayloadForm;
  readonly on?: string;
  readonly off?: string;
}

export type OutMessage = { readonly topic: string; readonly payload: unknown; readonly [key: string]: unknown };

function payloadOf(value: number | string, row: CommandRow | undefined): unknown {
  if (typeof value === 'string') return value;
  switch (row?.form ?? 'share') {
    case 'share':
      return value;
    case 'percent':
      return Math.round(value * 1000) / 10;
    case 'boolean':
      return value > 0;
    case 'on-off':
      return value > 0 ? 'ON' : 'OFF';
    case 'words':
      return value > 0 ? (row?.on ?? 'ON') : (row?.off ?? 'OFF');
  }
}

/** What is wrong with the commands table. */
export function commandRowProblems(rows: readonly CommandRow[], still: Still): string[] {
  return rows.flatMap((row, index) => {
    const drive: Drive | undefined = still.drives[row.drive];
    const at = `commands.${index}`;
    if (drive === undefined) {
      const names = Object.keys(still.drives).join(', ') || '(it has none)';
      return [`${at}.drive: "${row.drive}": is no drive of still "${still.id}". Use one of ${names}.`];
    }
    const modulates = 'control' in drive && drive.control === 'modulating';
    const loses = row.form === 'boolean' || row.form === 'on-off' || row.form === 'words';
    if (modulates && loses)
      return [
        `${at}.form: "${row.form}": a modulating ${drive.kind} would lose its share. Use 0…1 or 0…100, or say control: on-off in the still.`,
      ];
    return [];
  });
}

export function commandMessage(command: Command, rows: readonly CommandRow[], edge: Edge): OutMessage {
  const row = rows.find((one) => one.drive === command.drive);
  const reason = sayReason(command.reason, edge.saying);
  return {
    topic: row?.topic === undefined || row.topic === '' ? command.drive : row.topic,
    payload: payloadOf(command.value, row),
    drive: command.drive,
    reason,
    command: {
      id: command.id,
      value: command.value,
      issuedAt: edge.iso(command.issuedAtS),
      ttlS: command.ttlS,
      repeat: command.repeat,
      safe: command.safe,
      reason,
    },
  };
}

export function phaseMessage(event: Extract<Event, { kind: 'phase' }>, still: Still, edge: Edge): OutMessage {
  return {
    topic: `${still.id}/phase`,
    payload: event.to,
    from: event.from,
    title: sayName(event.to, edge.saying),
    reason: sayReason(event.reason, edge.saying),
    asked: event.asked,
    figures: event.figures,
    at: edge.iso(event.atS),
  };
}

export function alarmMessage(scanned: Scanned, event: AlarmEvent, edge: Edge): OutMessage {
  const said = sayAlarm(scanned.run, event, edge);
  return {
    topic: `${scanned.plant.still.id}/alarm/${event.alarm}`,
    payload: said,
    priority: said.priority,
    transition: said.transition,
  };
}

/** An event in words; a jar event with what a jar sheet wants besides. */
function eventPayload(scanned: Scanned, event: Event, edge: Edge): unknown {
  const { startedAtS, estimate } = scanned.run;
  return {
    ...eventMessage(event, edge.iso(event.atS), edge.saying),
    runTimeS: startedAtS === null ? null : event.atS - startedAtS,
    ...(event.kind === 'jar' ? { boilerTempC: estimate.boilerTempC } : {}),
  };
}

/** An alarm that comes or goes in silence is for the record only; what was done to it is told. */
function isTold(scanned: Scanned, event: AlarmEvent, edge: Edge): boolean {
  const comesOrGoes =
    event.transition === 'raised' || event.transition === 'returned' || event.transition === 'cleared';
  return !comesOrGoes || isHeard(scanned.plant, scanned.run, event.alarm, edge.watchOnly);
}

/** What a scan has to say on each output. */
export interface Said {
  readonly drives: readonly OutMessage[];
  readonly phase: readonly OutMessage[];
  readonly alarms: readonly OutMessage[];
  readonly events: readonly OutMessage[];
}

export function sayScan(scanned: Scanned, rows: readonly CommandRow[], edge: Edge): Said {
  const { events, commands, plant } = scanned;
  const still = plant.still;
  return {
    drives: commands.map((command) => commandMessage(command, rows, edge)),
    phase: events.flatMap((event) => (event.kind === 'phase' ? [phaseMessage(event, still, edge)] : [])),
    alarms: events.flatMap((event) =>
      event.kind === 'alarm' && isTold(scanned, event, edge) ? [alarmMessage(scanned, event, edge)] : [],
    ),
    events: events.map((event) => ({
      topic: `${still.id}/event/${event.kind}`,
      payload: eventPayload(scanned, event, edge),
    })),
  };
}
