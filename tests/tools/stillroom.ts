import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import mqtt, { type MqttClient } from 'mqtt';
import { stringify } from 'yaml';
import type { DriveValue } from '../../lib';
import { type CommandMessage, parseCommand } from '../../lib/wire';
import { potDocument, potRecipe } from './plants';

export interface StillroomOptions {
  /** Where the daemon finds its broker; null for the embedded one on this port. */
  readonly brokerUrl: string | null;
  readonly port?: number;
  readonly folder: string;
  readonly id?: string;
  readonly speed?: number;
  readonly still?: Readonly<Record<string, unknown>>;
  readonly recipe?: object;
  readonly config?: Readonly<Record<string, unknown>>;
  readonly deadManS?: number;
  readonly ttlS?: number;
}

export const points = ['vapour', 'air', 'button'] as const;
export const drives = ['element', 'coolant', 'heads-valve', 'hearts-valve', 'tails-valve'] as const;
export const valves = ['heads-valve', 'hearts-valve', 'tails-valve'] as const;
export type DriveName = (typeof drives)[number];

/** Writes the documents of a small stillroom: drives in our own form, so that every command tells its id and time. */
export function writeStillroom(options: StillroomOptions): string {
  const { brokerUrl, port = 0, folder, id = 'test-pot', speed = 1, deadManS = 30, ttlS = 10 } = options;
  const documents = potDocument.drives as Record<string, object>;
  const still = {
    ...potDocument,
    id,
    remoteOrders: true,
    undoWithinS: 1_000_000,
    vent: { unvalved: true, feintsPathFailsOpen: true },
    points: {
      vapour: { kind: 'vapour-temp', resolution: 0.0625 },
      air: { kind: 'air-pressure', staleAfterS: 100_000 },
      button: { kind: 'attendance', staleAfterS: 100_000 },
    },
    drives: Object.fromEntries(
      Object.entries(documents).map(([drive, document]) => [
        drive,
        { ...document, ttlS, ...(drive === 'element' ? { deadManS } : {}) },
      ]),
    ),
    ...options.still,
  };
  writeFileSync(join(folder, 'still.yaml'), stringify(still));
  writeFileSync(join(folder, 'recipe.json'), JSON.stringify(options.recipe ?? potRecipe));
  const config = {
    config: 1,
    data: 'data',
    broker: brokerUrl === null ? { embedded: { port } } : { url: brokerUrl },
    page: { enabled: false },
    log: { format: 'human' },
    ...options.config,
    stills: [
      {
        still: 'still.yaml',
        recipes: ['recipe.json'],
        ...(speed === 1 ? {} : { speed }),
        feeds: Object.fromEntries(points.map((point) => [point, { mqtt: { topic: `probes/${id}/${point}` } }])),
        drives: Object.fromEntries(drives.map((drive) => [drive, { mqtt: {} }])),
      },
    ],
  };
  const file = join(folder, 'middlecut.yaml');
  writeFileSync(file, stringify(config));
  return file;
}

export interface Heard {
  /** Monotonic [ms]. */
  readonly atMs: number;
  readonly topic: string;
  readonly text: string;
  readonly retained: boolean;
}

/** A command as it reached the devices of the stillroom. */
export interface HeardCommand extends CommandMessage {
  readonly atMs: number;
  readonly drive: DriveName;
  /** How old it was on arrival, by the clock on the wall [s]. */
  readonly ageS: number;
}

export interface Answer {
  readonly id: string;
  readonly accepted: boolean;
  readonly why: readonly string[];
}

/** What stands around the daemon in a test: probes, devices with a dead-man of their own, an operator who listens. */
export interface Stillroom {
  readonly client: MqttClient;
  readonly heard: Heard[];
  readonly commands: HeardCommand[];
  /** What the devices stand at: the heater goes off by itself. */
  readonly stands: Map<DriveName, DriveValue>;
  readonly heater: { readonly isOn: boolean; readonly deadManTrips: number };
  /** Readings published from now on; null for a probe that says nothing. */
  readonly probes: { vapourC: number | null; airHPa: number | null };
  /** The last retained state of the still. */
  readonly state: () => StateSeen | null;
  readonly order: (said: object, withinMs?: number) => Promise<Answer>;
  /** Somebody presses the button at the still. */
  readonly attend: () => Promise<void>;
  readonly until: (what: string, isSo: () => boolean, withinMs?: number) => Promise<void>;
  readonly events: (kind?: string) => readonly EventSeen[];
  readonly alarm: (id: string) => AlarmSeen | null;
  readonly close: () => Promise<void>;
}

export interface StateSeen {
  readonly state: string;
  readonly phase: string;
  readonly run: string | null;
  readonly receiver: string | null;
  readonly reason: { readonly code: string; readonly text: string };
  readonly alarmFigures?: { readonly own: readonly string[] };
  readonly atMs: number;
}
export interface AlarmSeen {
  readonly active: boolean;
  readonly what: string;
  readonly doNow: string;
  readonly reason: { readonly code: string; readonly text: string };
}
export type EventSeen = Readonly<Record<string, unknown>> & { readonly kind: string; readonly atMs: number };

export interface StillroomSetting {
  readonly url: string;
  readonly id?: string;
  readonly deadManMs: number;
  /** A reading every so often [ms]. */
  readonly everyMs?: number;
  readonly login?: { readonly username: string; readonly password: string };
}

function heaterOf(stands: Map<DriveName, DriveValue>, deadManMs: number) {
  let timer: NodeJS.Timeout | undefined;
  let trips = 0;
  return {
    tell: (value: DriveValue) => {
      clearTimeout(timer);
      if (value === 0) return;
      timer = setTimeout(() => {
        trips += 1;
        stands.set('element', 0);
      }, deadManMs);
    },
    stop: () => clearTimeout(timer),
    trips: () => trips,
  };
}

export async function openStillroom(setting: StillroomSetting): Promise<Stillroom> {
  const { url, id = 'test-pot', deadManMs, everyMs = 25 } = setting;
  const base = `middlecut/${id}`;
  const client = await mqtt.connectAsync(url, { reconnectPeriod: 100, ...setting.login });
  const heard: Heard[] = [];
  const commands: HeardCommand[] = [];
  const events: EventSeen[] = [];
  const stands = new Map<DriveName, DriveValue>();
  const probes: { vapourC: number | null; airHPa: number | null } = { vapourC: 20, airHPa: 1000 };
  const answers = new Map<string, (answer: Answer) => void>();
  const alarms = new Map<string, AlarmSeen>();
  let seen: StateSeen | null = null;
  const heater = heaterOf(stands, deadManMs);

  client.on('message', (topic, payload, packet) => {
    const atMs = performance.now();
    const text = payload.toString();
    heard.push({ atMs, topic, text, retained: packet.retain });
    if (topic === `${base}/event`) events.push({ ...(JSON.parse(text) as EventSeen), atMs });
    if (topic === `${base}/state`) seen = { ...(JSON.parse(text) as StateSeen), atMs };
    if (topic.startsWith(`${base}/alarm/`)) alarms.set(topic.slice(base.length + 7), JSON.parse(text) as AlarmSeen);
    if (topic === `${base}/order/answer`) {
      const answer = JSON.parse(text) as Answer;
      answers.get(answer.id)?.(answer);
    }
    const drive = topic.match(/\/drive\/([^/]+)\/set$/)?.[1] as DriveName | undefined;
    const command = drive === undefined ? null : parseCommand(text);
    if (drive === undefined || command === null) return;
    const ageS = (Date.now() - Date.parse(command.issuedAt)) / 1000;
    commands.push({ ...command, atMs, drive, ageS });
    stands.set(drive, command.value);
    if (drive === 'element') heater.tell(command.value);
  });
  await client.subscribeAsync(`${base}/#`, { qos: 1 });
  let count = 0;
  const publish = () => {
    if (!client.connected) return;
    count += 1;
    const { vapourC, airHPa } = probes;
    // The last digit of a digital thermometer is never still.
    if (vapourC !== null) client.publish(`probes/${id}/vapour`, String(vapourC + (count % 3) * 0.0625));
    if (airHPa !== null && count % 40 === 1) client.publish(`probes/${id}/air`, String(airHPa));
  };
  const timer = setInterval(publish, everyMs);

  const until = async (what: string, isSo: () => boolean, withinMs = 10_000) => {
    const untilMs = performance.now() + withinMs;
    while (!isSo()) {
      if (performance.now() > untilMs) {
        const last = heard.slice(-12).map((one) => `${one.topic} ${one.text.slice(0, 300)}`);
        throw new Error(`not within ${withinMs} ms: ${what}\nlast heard:\n${last.join('\n')}`);
      }
      await new Promise((resolve) => setTimeout(resolve, 3));
    }
  };
  let orders = 0;
  const order = (said: object, withinMs = 5000): Promise<Answer> => {
    orders += 1;
    const orderId = `${id}-${process.pid}-${Math.round(performance.timeOrigin % 1e6)}-${orders}`;
    return new Promise((resolve, reject) => {
      const late = setTimeout(() => {
        answers.delete(orderId);
        reject(new Error(`no answer to ${JSON.stringify(said)} within ${withinMs} ms`));
      }, withinMs);
      answers.set(orderId, (answer) => {
        clearTimeout(late);
        answers.delete(orderId);
        resolve(answer);
      });
      client.publish(`${base}/order`, JSON.stringify({ id: orderId, by: 'Ada', ...said }), { qos: 1 });
    });
  };
  return {
    client,
    heard,
    commands,
    stands,
    probes,
    order,
    until,
    get heater() {
      return { isOn: Number(stands.get('element') ?? 0) > 0, deadManTrips: heater.trips() };
    },
    state: () => seen,
    attend: async () => {
      await client.publishAsync(`probes/${id}/button`, '0', { qos: 1 });
      await client.publishAsync(`probes/${id}/button`, '1', { qos: 1 });
    },
    events: (kind) => (kind === undefined ? events : events.filter((event) => event.kind === kind)),
    alarm: (name) => alarms.get(name) ?? null,
    close: async () => {
      clearInterval(timer);
      heater.stop();
      await client.endAsync(true);
    },
  };
}
