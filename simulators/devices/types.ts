import type { DriveValue, Reading } from '../../lib/engine/types';
import type { Answer, StillSpec } from '../model';

/** A message a device publishes. */
export interface Outgoing {
  readonly topic: string;
  readonly payload: string;
  readonly retain?: boolean;
}

/** What a device knows of the world around it. */
export interface Surroundings {
  readonly spec: StillSpec;
  /** Seconds of the site since its start, and the wall clock for the stamps devices put into their payloads. */
  readonly nowS: number;
  readonly wallMs: number;
  /** Site seconds a wall second. */
  readonly speed: number;
  /** Last reading of a point, as its probe gave it. */
  readonly latest: (point: string) => Reading | undefined;
  /** State a drive reports of itself, and the power it draws. */
  readonly stateOf: (drive: string) => number;
  readonly wattsOf: (drive: string) => number;
  readonly command: (drive: string, value: DriveValue, ageS: number, ttlS: number) => Answer;
}

/** A device on the broker: it hears, it tells, and it does some things by itself. */
export interface Device {
  readonly name: string;
  /** Last will, and the word it takes back at birth. */
  readonly will: Outgoing | null;
  readonly hears: readonly string[];
  /** After each connection. */
  readonly birth: (around: Surroundings) => readonly Outgoing[];
  /** Readings of this step. */
  readonly tell: (readings: readonly Reading[], around: Surroundings) => readonly Outgoing[];
  readonly hear: (topic: string, payload: string, around: Surroundings) => readonly Outgoing[];
  /** Every step: timers and telemetry. */
  readonly pass: (around: Surroundings) => readonly Outgoing[];
}

/** How a daemon is to be configured for a device: the `feeds` and `drives` of its still. */
export interface Wiring {
  readonly feeds: Readonly<Record<string, unknown>>;
  readonly drives: Readonly<Record<string, unknown>>;
}

export interface WiredDevice {
  readonly device: Device;
  readonly wiring: Wiring;
}

export const nothing: readonly Outgoing[] = [];

/** Stamp as such firmware writes it: local time without a zone. */
export function stampOf(wallMs: number): string {
  return new Date(wallMs).toISOString().slice(0, 19);
}

/** Switch words that firmware understands; undefined for anything else. */
export function switchWord(payload: string, now: boolean): boolean | undefined {
  switch (payload.trim().toUpperCase()) {
    case 'ON':
    case '1':
    case 'TRUE':
      return true;
    case 'OFF':
    case '0':
    case 'FALSE':
      return false;
    case 'TOGGLE':
    case '2':
      return !now;
    default:
      return undefined;
  }
}

/** Points that hold a share are sent in per cent, as such devices do. */
export function isShare(spec: StillSpec, point: string): boolean {
  const kind = spec.still.points[point]?.kind;
  return kind === 'boiler-level' || kind === 'vapour-gas' || kind === 'parrot-strength';
}

/** Feeds of points that report a drive. */
export function feedsOfReports(
  reports: Readonly<Record<string, string>>,
  mqttOf: (drive: string) => object,
): Record<string, unknown> {
  return Object.fromEntries(Object.entries(reports).map(([point, drive]) => [point, { mqtt: mqttOf(drive) }]));
}
