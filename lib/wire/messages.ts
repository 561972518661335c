import type { AlarmTransition, DriveValue, Event, Priority, Quality } from '../engine/types';

/**
 * What we say on our own topics, as plain JSON. Times are ISO 8601 in UTC, made by the host: the core has no clock. Fields are only ever added.
 */
export interface ReasonMessage {
  readonly code: string;
  readonly text: string;
}

/** `middlecut/<still>/point/<point>`; not retained, since an old reading is nobody's reading. */
export interface PointMessage {
  readonly value: number | null;
  readonly unit: string;
  readonly quality: Quality;
  readonly fault: string | null;
  /** Temperatures in vapour or boiling liquid: the same composition at the reference pressure. */
  readonly atReference: number | null;
  readonly at: string;
}

/** `middlecut/<still>/drive/<drive>/set`, never retained. */
export interface CommandMessage {
  readonly id: string;
  readonly value: DriveValue;
  readonly issuedAt: string;
  /** Not to be carried out later than this after issuedAt. */
  readonly ttlS: number;
  readonly reason: string;
}

/** `middlecut/<still>/alarm/<alarm>`, retained. */
export interface AlarmMessage {
  readonly alarm: string;
  readonly active: boolean;
  readonly acknowledged: boolean;
  readonly shelved: boolean;
  readonly suppressed: boolean;
  readonly outOfService: boolean;
  readonly priority: Priority;
  readonly transition: AlarmTransition;
  readonly reason: ReasonMessage;
  readonly what: string;
  readonly doNow: string;
  readonly at: string;
}

type WithoutClock<E> = E extends Event ? Omit<E, 'atS' | 'reason'> : never;

/** `middlecut/<still>/event`: an event of the engine, its reason put into words. */
export type EventMessage = WithoutClock<Event> & { readonly at: string; readonly reason: ReasonMessage };

/** `middlecut/<still>/order/answer`. */
export interface OrderAnswerMessage {
  readonly order: string;
  readonly id: string;
  readonly accepted: boolean;
  /** Why, or why not: one line a problem. */
  readonly why: readonly string[];
}

/** `middlecut/<group>/online`, retained, and the last will. */
export interface OnlineMessage {
  readonly state: 'online' | 'offline';
  /** Which process: new at every start, so that a daemon can tell its own word from another's. */
  readonly owner: string;
}

/** `middlecut/<still>/heartbeat`. */
export interface HeartbeatMessage {
  readonly scan: number;
  readonly at: string;
}

/**
 * Which daemon holds the group.
 *
 * @returns the message, or null where the payload is none of ours
 */
export function parseOnline(payload: string): OnlineMessage | null {
  try {
    const document = JSON.parse(payload) as unknown;
    if (document === null || typeof document !== 'object') return null;
    const { state, owner } = document as { state?: unknown; owner?: unknown };
    if ((state !== 'online' && state !== 'offline') || typeof owner !== 'string') return null;
    return { state, owner };
  } catch {
    return null;
  }
}

/**
 * A command as a device of our own form receives it; for simulated devices and for anyone who builds one.
 *
 * @returns the command, or null where the payload is none
 */
export function parseCommand(payload: string): CommandMessage | null {
  try {
    const document = JSON.parse(payload) as unknown;
    if (document === null || typeof document !== 'object') return null;
    const { id, value, issuedAt, ttlS, reason } = document as Readonly<Record<string, unknown>>;
    if (typeof id !== 'string' || typeof issuedAt !== 'string' || typeof ttlS !== 'number') return null;
    if (typeof value !== 'string' && !(typeof value === 'number' && Number.isFinite(value))) return null;
    return { id, value, issuedAt, ttlS, reason: typeof reason === 'string' ? reason : '' };
  } catch {
    return null;
  }
}
