import { filter, map, merge, mergeMap, type Observable, Subject, type Subscription } from 'rxjs';
import type { Command, Reason } from '../../lib/engine/types';
import type { Drive, Still } from '../../lib/still/schema';
import { type DriveMapping, messageOfCommand, parsePath, payloadOfCommand, readReply, topicsOf } from '../../lib/wire';
import type { Link } from '../link';

/** What a device answered to a command; `error` is null where it took it. */
export interface DriveReply {
  readonly drive: string;
  readonly id: string;
  readonly error: string | null;
}

export type Sent = 'sent' | 'waiting' | 'offline' | 'unknown-drive';

export interface DrivesOptions {
  readonly still: Still;
  readonly drives: Readonly<Record<string, { readonly mqtt: DriveMapping }>>;
  readonly link: Link;
  /** Wall clock for people and devices: ISO 8601, UTC. */
  readonly nowIso: () => string;
  readonly wordsOf: (reason: Reason) => string;
  /** Engine seconds a second: a time to live counts engine seconds. */
  readonly speed?: number;
}

/** The drives of one still, over MQTT. */
export interface Drives {
  /** Says a command to its drive: QoS 1, never retained, not at all while offline, not later than its time to live. */
  readonly send: (command: Command) => Sent;
  /** Answers of devices that give any. */
  readonly replies: Observable<DriveReply>;
  readonly close: () => void;
}

interface Wired {
  readonly id: string;
  readonly drive: Drive;
  readonly mapping: DriveMapping;
  readonly topic: string;
}

const rememberedIds = 64;

/** Ids of the latest commands of each drive: others may share the topic on which devices answer. */
function createMemory() {
  const ids = new Map<string, string[]>();
  return {
    note: (drive: string, id: string) => ids.set(drive, [...(ids.get(drive) ?? []), id].slice(-rememberedIds)),
    knows: (drive: string, id: string) => ids.get(drive)?.includes(id) === true,
  };
}

function repliesOf(wired: Wired, link: Link): Observable<DriveReply> | null {
  const reply = wired.mapping.reply;
  if (reply === undefined) return null;
  const [idPath, errorPath] = [parsePath(reply.idPath), parsePath(reply.errorPath)];
  if (idPath.kind === 'error' || errorPath.kind === 'error')
    throw new Error(`assertion: drive ${wired.id} was not checked`);
  const paths = { idPath: idPath.path, errorPath: errorPath.path };
  return link.messages(reply.topic, 1).pipe(
    map(({ payload, retained }) => (payload === null || retained ? null : readReply(payload, paths))),
    mergeMap((read) => (read === null ? [] : [{ drive: wired.id, ...read }])),
  );
}

const setupTtlMs = 10_000;

function sendSetup(wired: readonly Wired[], link: Link): void {
  for (const { mapping } of wired) {
    for (const { topic, payload } of mapping.setup ?? []) link.command(topic, payload, setupTtlMs);
  }
}

/**
 * Opens the drives of a still.
 *
 * What a device reports of itself is no part of this: it comes back as the feed of a drive-state point.
 *
 * @param options a still and drive mappings that have been checked together (loadConfig does)
 */
export function openDrives(options: DrivesOptions): Drives {
  const { still, link } = options;
  const wired = Object.entries(options.drives).flatMap(([id, { mqtt }]): readonly Wired[] => {
    const drive = still.drives[id];
    return drive === undefined
      ? []
      : [{ id, drive, mapping: mqtt, topic: mqtt.topic ?? topicsOf(still.id).driveSet(id) }];
  });
  const byId = new Map(wired.map((one) => [one.id, one]));
  const memory = createMemory();
  const replies = new Subject<DriveReply>();
  const answers = merge(...wired.flatMap((one) => repliesOf(one, link) ?? []));
  const subscriptions: readonly Subscription[] = [
    answers.pipe(filter((reply) => memory.knows(reply.drive, reply.id))).subscribe(replies),
    link.events.subscribe((event) => {
      if (event.kind === 'status' && event.status === 'online') sendSetup(wired, link);
    }),
  ];
  if (link.status() === 'online') sendSetup(wired, link);

  function send(command: Command): Sent {
    const target = byId.get(command.drive);
    if (target === undefined) return 'unknown-drive';
    const message = messageOfCommand(command, options.nowIso(), options.wordsOf(command.reason));
    const payload = payloadOfCommand(target.mapping, target.drive, message, command.repeat);
    if (target.mapping.reply !== undefined) memory.note(target.id, command.id);
    return link.command(target.topic, payload, (command.ttlS * 1000) / (options.speed ?? 1));
  }

  return {
    send,
    replies,
    close: () => {
      for (const subscription of subscriptions) subscription.unsubscribe();
      replies.complete();
    },
  };
}
