import { type Problem, problem, warning } from '../../lib/problems';
import type { Still } from '../../lib/still/schema';
import { checkDriveMapping, compileMapping, type DriveMapping, formOf, topicsOf } from '../../lib/wire';
import { lineOfFeed, mappingOfFeed, sourceOfFeed } from './feed-mapping';
import type { Feed } from './feeds-schema';
import type { StillEntry } from './schema';

function under(base: string, problems: readonly Problem[]): readonly Problem[] {
  return problems.map((p) => ({ ...p, path: p.path === '' ? base : `${base}.${p.path}` }));
}

function transportOf(feed: Feed): string {
  return Object.keys(feed)[0] ?? '';
}

/** Every point has a feed and every feed its point. */
function pairProblems(entry: StillEntry, still: Still, base: string): readonly Problem[] {
  const points = Object.keys(still.points);
  const fed = Object.keys(entry.feeds);
  return [
    ...fed
      .filter((point) => !points.includes(point))
      .map((point) =>
        problem(`${base}.feeds.${point}`, point, `is no point of still ${still.id}`, `Use one of ${points.join(', ')}`),
      ),
    ...points
      .filter((point) => !fed.includes(point))
      .map((point) =>
        problem(
          `${base}.feeds.${point}`,
          undefined,
          'is missing',
          'Say where the readings come from, or remove the point from the still',
        ),
      ),
  ];
}

function mappingProblems(entry: StillEntry, still: Still, base: string): readonly Problem[] {
  return Object.entries(entry.feeds).flatMap(([point, feed]) => {
    const kind = still.points[point]?.kind;
    if (kind === undefined) return [];
    const at = `${base}.feeds.${point}.${transportOf(feed)}`;
    const compiled = compileMapping(mappingOfFeed(feed), kind);
    const found: Problem[] = compiled.kind === 'bad' ? [...under(at, compiled.problems)] : [];
    if ('mqtt' in feed && feed.mqtt.retained === 'accept' && feed.mqtt.availability === undefined) {
      const remedy = 'Add availability, the topic where the device says that it is there';
      found.push(
        warning(
          `${at}.retained`,
          'accept',
          'a value kept by the broker passes for fresh although the device may be gone',
          remedy,
        ),
      );
    }
    if (
      'serial' in feed &&
      feed.serial.format !== 'key-value' &&
      feed.serial.format !== 'json' &&
      !/^\d+$/.test(String(feed.serial.field))
    ) {
      found.push(
        problem(
          `${at}.field`,
          feed.serial.field,
          `${feed.serial.format} lines have columns, not names`,
          'Give the column, counted from 0',
        ),
      );
    }
    return found;
  });
}

/** Two points that read one and the same thing: nearly always a line copied and not changed. */
function doubleProblems(entry: StillEntry, base: string): readonly Problem[] {
  const seen = new Map<string, string>();
  return Object.entries(entry.feeds).flatMap(([point, feed]) => {
    const source = sourceOfFeed(feed);
    const first = seen.get(source);
    seen.set(source, first ?? point);
    return first === undefined
      ? []
      : [
          problem(
            `${base}.feeds.${point}`,
            undefined,
            `reads the same as ${first}`,
            'Correct the topic, path, field or address of one of them',
          ),
        ];
  });
}

function feedbackProblems(entry: StillEntry, still: Still, base: string): readonly Problem[] {
  const commandTopics = new Map(
    Object.entries(entry.drives).map(([drive, { mqtt }]) => [mqtt.topic ?? topicsOf(still.id).driveSet(drive), drive]),
  );
  return Object.entries(entry.feeds).flatMap(([point, feed]) => {
    const drive = 'mqtt' in feed ? commandTopics.get(feed.mqtt.topic) : undefined;
    if (drive === undefined || !('mqtt' in feed)) return [];
    const message = `is where ${drive} is commanded: it would report what we said, not what was done`;
    return [
      problem(
        `${base}.feeds.${point}.mqtt.topic`,
        feed.mqtt.topic,
        message,
        'Use the topic on which the device reports its state',
      ),
    ];
  });
}

function driveProblems(entry: StillEntry, still: Still, base: string): readonly Problem[] {
  const drives = Object.keys(still.drives);
  const strange = Object.keys(entry.drives).filter((drive) => !drives.includes(drive));
  const mute = drives.filter((drive) => entry.drives[drive] === undefined);
  return [
    ...strange.map((drive) =>
      problem(
        `${base}.drives.${drive}`,
        drive,
        `is no drive of still ${still.id}`,
        `Use one of ${drives.join(', ') || '(none)'}`,
      ),
    ),
    ...mute.map((drive) =>
      problem(
        `${base}.drives.${drive}`,
        undefined,
        'is missing',
        'Say how the drive is told, or `mqtt: {}` for our own form',
      ),
    ),
    ...Object.entries(entry.drives).flatMap(([id, { mqtt }]) => {
      const drive = still.drives[id];
      const checked = drive === undefined ? null : checkDriveMapping(mqtt, drive);
      if (checked === null) return [];
      return under(`${base}.drives.${id}.mqtt`, checked.kind === 'bad' ? checked.problems : checked.warnings);
    }),
  ];
}

/** What a device sees for 'on': two drives that say it alike on one topic are one device. */
function commandKey(mapping: DriveMapping): string | null {
  if (mapping.topic === undefined) return null;
  return JSON.stringify([
    mapping.topic,
    formOf(mapping),
    mapping.on ?? null,
    mapping.template ?? null,
    mapping.positions ?? null,
  ]);
}

function sameDeviceProblems(entry: StillEntry, base: string): readonly Problem[] {
  const seen = new Map<string, string>();
  return Object.entries(entry.drives).flatMap(([drive, { mqtt }]) => {
    const key = commandKey(mqtt);
    if (key === null) return [];
    const first = seen.get(key);
    seen.set(key, first ?? drive);
    return first === undefined
      ? []
      : [
          problem(
            `${base}.drives.${drive}.mqtt.topic`,
            mqtt.topic,
            `commands the same device as ${first}`,
            'Correct the topic of one of them',
          ),
        ];
  });
}

/** Everything about one still that only makes sense together: points with feeds, drives with transports. */
export function checkStillEntry(entry: StillEntry, still: Still, base: string): readonly Problem[] {
  return [
    ...pairProblems(entry, still, base),
    ...mappingProblems(entry, still, base),
    ...doubleProblems(entry, base),
    ...feedbackProblems(entry, still, base),
    ...driveProblems(entry, still, base),
    ...sameDeviceProblems(entry, base),
    ...(entry.speed === 1
      ? []
      : [warning(`${base}.speed`, entry.speed, 'is for simulated stills only', 'Leave it out with real devices')]),
  ];
}

/** Ports and buses shared by stills and points must be set up alike; two stills never share a drive's topic. */
export function checkTogether(
  stills: readonly { readonly entry: StillEntry; readonly still: Still | null; readonly base: string }[],
): readonly Problem[] {
  const found: Problem[] = [];
  const lines = new Map<string, string>();
  const ids = new Map<string, string>();
  const topics = new Map<string, string>();
  for (const { entry, still, base } of stills) {
    for (const [point, feed] of Object.entries(entry.feeds)) {
      const line = lineOfFeed(feed);
      if (line === null) continue;
      const settings = lines.get(line.path) ?? line.settings;
      lines.set(line.path, settings);
      if (settings === line.settings) continue;
      const message = `${line.path} is opened as ${settings} elsewhere, here as ${line.settings}`;
      found.push(problem(`${base}.feeds.${point}`, undefined, message, 'One port has one use and one speed'));
    }
    if (still === null) continue;
    const twin = ids.get(still.id);
    if (twin !== undefined)
      found.push(problem(`${base}.still`, still.id, `has the same id as ${twin}`, 'Give each still its own id'));
    ids.set(still.id, `${base}.still`);
    for (const [drive, { mqtt }] of Object.entries(entry.drives)) {
      const key = commandKey(mqtt);
      const other = key === null ? undefined : topics.get(key);
      if (other !== undefined && !other.startsWith(`${base}.`)) {
        found.push(
          problem(
            `${base}.drives.${drive}.mqtt.topic`,
            mqtt.topic,
            `commands the same device as ${other}`,
            'A device belongs to one still',
          ),
        );
      }
      if (key !== null) topics.set(key, `${base}.drives.${drive}`);
    }
  }
  return found;
}
