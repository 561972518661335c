import type { PointKind, Still } from '../../lib/still/schema';
import type { StillSpec } from '../model';
import { esphomeNode } from './esphome';
import { ownDrives } from './own';
import { shellyRelay } from './shelly';
import { tasmotaBarometer, tasmotaRelays, tasmotaThermometers } from './tasmota';
import { isShare, type WiredDevice, type Wiring } from './types';

const thermometers: readonly PointKind[] = [
  'boiler-temp',
  'product-temp',
  'coolant-in-temp',
  'coolant-out-temp',
  'parrot-temp',
];

function pointsWhere(still: Still, is: (kind: PointKind) => boolean): string[] {
  return Object.keys(still.points).filter((id) => is(still.points[id]!.kind));
}

function drivesWhere(still: Still, is: (drive: Still['drives'][string]) => boolean): string[] {
  return Object.keys(still.drives).filter((id) => is(still.drives[id]!));
}

function reportsOf(still: Still, drives: readonly string[]): Record<string, string> {
  const reports: Record<string, string> = {};
  for (const [id, point] of Object.entries(still.points)) {
    if (point.kind === 'drive-state' && point.drive !== undefined && drives.includes(point.drive))
      reports[id] = point.drive;
  }
  return reports;
}

/** A share of the power needs a controller; on and off a relay does. */
function isModulated(drive: Still['drives'][string]): boolean {
  return 'control' in drive && drive.control === 'modulating';
}

/**
 * The devices a small stillhouse would hang on a still: one-wire thermometers and the barometer on boards with Tasmota firmware, vapour probe
 * and instruments on an ESPHome node, valves on another, relays on Tasmota and Shelly, and what is set by shares on a controller of our own form.
 *
 * @returns the devices, each with the configuration a daemon needs for it
 */
export function layoutOf(spec: StillSpec): readonly WiredDevice[] {
  const { still } = spec;
  const slow = pointsWhere(still, (kind) => thermometers.includes(kind));
  const barometers = pointsWhere(still, (kind) => kind === 'air-pressure');
  const switches = drivesWhere(still, (drive) => drive.kind === 'receiver-valve');
  const diverters = drivesWhere(still, (drive) => drive.kind === 'diverter');
  const metered = drivesWhere(
    still,
    (drive) => drive.kind === 'contactor' || (drive.kind === 'heat' && !isModulated(drive)),
  );
  const shares = drivesWhere(still, isModulated);
  const relays = drivesWhere(still, (drive) => drive.kind === 'coolant' && !isModulated(drive));
  const powerPoints = pointsWhere(still, (kind) => kind === 'heat-power');
  const powerPoint = metered.length > 0 ? (powerPoints[0] ?? null) : null;
  const deadManS = Object.fromEntries(Object.entries(still.drives).map(([id, drive]) => [id, drive.deadManS]));
  const taken = new Set([...slow, ...barometers, ...(powerPoint === null ? [] : [powerPoint])]);
  const instruments = pointsWhere(still, (kind) => kind !== 'drive-state' && kind !== 'attendance').filter(
    (id) => !taken.has(id),
  );
  const perCent = (point: string) => isShare(spec, point);
  const selects = Object.fromEntries(
    diverters.map((id) => {
      const drive = still.drives[id]!;
      return [id, drive.kind === 'diverter' ? drive.positions : []] as const;
    }),
  );
  const reports = (drives: readonly string[]) => reportsOf(still, drives);
  return [
    ...(slow.length > 0 ? [tasmotaThermometers(`${still.id}_probes`, slow)] : []),
    ...barometers.map((point) => tasmotaBarometer(`${still.id}_room`, point)),
    esphomeNode(`${still.id}-head`, { sensors: instruments, switches: [], reports: {}, selects: {} }, perCent),
    ...(switches.length + diverters.length > 0
      ? [
          esphomeNode(
            `${still.id}-valves`,
            { sensors: [], switches, reports: reports([...switches, ...diverters]), selects },
            perCent,
          ),
        ]
      : []),
    ...metered.map((drive, index) =>
      shellyRelay(`${still.id}-${drive}`, drive, index === 0 ? powerPoint : null, deadManS[drive], reports([drive])),
    ),
    ...(relays.length > 0 ? [tasmotaRelays(`${still.id}_coolant`, relays, deadManS, reports(relays))] : []),
    ...(shares.length > 0 ? [ownDrives(`${still.id}-power`, still.id, shares, deadManS, reports(shares))] : []),
  ];
}

/** Configuration of a whole layout: the `feeds` and `drives` of the still in a daemon's configuration. */
export function wiringOf(devices: readonly WiredDevice[]): Wiring {
  return {
    feeds: Object.assign({}, ...devices.map(({ wiring }) => wiring.feeds)) as Wiring['feeds'],
    drives: Object.assign({}, ...devices.map(({ wiring }) => wiring.drives)) as Wiring['drives'],
  };
}
