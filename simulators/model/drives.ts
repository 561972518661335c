import type { Drive, Still } from '../../lib/still/schema';
import type { Actuators } from './state';

/** What is wrong with one drive at the moment. */
export interface DriveFault {
  /** Does not move: at this place, or where it was ('here'). */
  readonly stuckAt?: number | 'here';
  /** The relay's contacts are welded: what is on stays on, whatever is said. */
  readonly welded?: boolean;
  /** Hears nothing. */
  readonly deaf?: boolean;
}
export type DriveFaults = Readonly<Record<string, DriveFault>>;

/** One drive, as the device that carries it knows it. */
export interface DriveState {
  /** What it was last told, or fell back to: a share, or the index of a diverter's position. */
  wanted: number;
  /** Where it really is. */
  position: number;
  /** Highest it was on since it was last off: where welded contacts stay. */
  weldedAt: number;
  lastCommandAtS: number | null;
  deadManFired: boolean;
}

/** All drives of a still. */
export interface DrivesState {
  readonly still: Still;
  readonly drives: Record<string, DriveState>;
  /** Receiver under the spout where nobody but a person moves it. */
  spoutAt: string | null;
  readonly actuators: Actuators;
}

/** How a device answered a command. */
export type Answer = 'accepted' | 'expired' | 'unknown-drive' | 'bad-value' | 'deaf';

function restingPosition(drive: Drive): number | 'stay' {
  switch (drive.kind) {
    case 'heat':
    case 'take-off':
    case 'contactor':
      return 0;
    case 'coolant':
      return drive.failPosition === 'stay' ? 'stay' : drive.failPosition === 'on' ? 1 : 0;
    case 'receiver-valve':
      return drive.failPosition === 'stay' ? 'stay' : drive.failPosition === 'open' ? 1 : 0;
    case 'diverter':
      return 'stay';
  }
}

/** Drives as they are when the site has just been switched on: heat and contactor off, valves where they fail to. */
export function createDrives(still: Still): DrivesState {
  const drives: Record<string, DriveState> = {};
  for (const [id, drive] of Object.entries(still.drives)) {
    const resting = restingPosition(drive);
    const position = resting === 'stay' ? 0 : resting;
    drives[id] = { wanted: position, position, weldedAt: position, lastCommandAtS: null, deadManFired: false };
  }
  const isMoved = Object.values(still.drives).some(
    (drive) => drive.kind === 'receiver-valve' || drive.kind === 'diverter',
  );
  const [first] = Object.keys(still.receivers);
  const state: DrivesState = {
    still,
    drives,
    spoutAt: isMoved ? null : (first ?? null),
    actuators: { heat: {}, contactorClosed: true, coolantShare: 1, takeOffShare: 1, receivers: {} },
  };
  setActuators(state);
  return state;
}

function numberOf(drive: Drive, value: number | string): number | null {
  if (drive.kind === 'diverter') {
    const index = typeof value === 'string' ? drive.positions.indexOf(value) : value;
    return Number.isInteger(index) && index >= 0 && index < drive.positions.length ? index : null;
  }
  if (typeof value !== 'number' || !(value >= 0 && value <= 1)) return null;
  if ('control' in drive && drive.control === 'on-off') return value >= 0.5 ? 1 : 0;
  return drive.kind === 'receiver-valve' || drive.kind === 'contactor' ? (value >= 0.5 ? 1 : 0) : value;
}

/**
 * Gives a drive a command, as its device would take it: too old, unknown and senseless ones are refused.
 *
 * @param value share 0..1; a receiver's name or its index for a diverter
 * @param issuedAtS, ttlS when the command was given and how long it may be carried out [s]
 */
export function takeCommand(
  state: DrivesState,
  id: string,
  value: number | string,
  issuedAtS: number,
  ttlS: number,
  nowS: number,
  faults: DriveFaults = {},
): Answer {
  const drive = state.still.drives[id];
  const own = state.drives[id];
  if (drive === undefined || own === undefined) return 'unknown-drive';
  if (faults[id]?.deaf === true) return 'deaf';
  if (nowS - issuedAtS > ttlS) return 'expired';
  const wanted = numberOf(drive, value);
  if (wanted === null) return 'bad-value';
  own.wanted = wanted;
  own.lastCommandAtS = nowS;
  own.deadManFired = false;
  return 'accepted';
}

function moveOne(own: DriveState, drive: Drive, fault: DriveFault | undefined, dtS: number): void {
  if (fault?.stuckAt !== undefined) {
    if (fault.stuckAt !== 'here') own.position = fault.stuckAt;
    return;
  }
  const travelS = 'travelS' in drive ? drive.travelS : 0;
  // A diverter reaches its furthest position within its travel.
  const span = drive.kind === 'diverter' ? drive.positions.length - 1 : 1;
  const reach = travelS > 0 ? (span * dtS) / travelS : Number.POSITIVE_INFINITY;
  const gap = own.wanted - own.position;
  own.position = Math.abs(gap) <= reach * (1 + 1e-9) ? own.wanted : own.position + Math.sign(gap) * reach;
  if (own.position > 0) own.weldedAt = Math.max(own.weldedAt, own.position);
  if (fault?.welded === true) own.position = Math.max(own.position, own.weldedAt);
  else own.weldedAt = own.position;
}

/**
 * Moves all drives on by one step: dead-man, power cut, travel.
 *
 * @param mainsOn without mains every drive falls to its resting position, and stays there until told otherwise
 */
export function moveDrives(
  state: DrivesState,
  nowS: number,
  dtS: number,
  mainsOn: boolean,
  faults: DriveFaults = {},
): void {
  for (const id in state.drives) {
    const own = state.drives[id]!;
    const drive = state.still.drives[id]!;
    const silentS = own.lastCommandAtS === null ? 0 : nowS - own.lastCommandAtS;
    const isForgotten = drive.deadManS !== undefined && silentS > drive.deadManS;
    if (isForgotten && !own.deadManFired) own.deadManFired = true;
    if (isForgotten || !mainsOn) {
      const resting = restingPosition(drive);
      if (resting !== 'stay') own.wanted = resting;
    }
    moveOne(own, drive, faults[id], dtS);
  }
  setActuators(state);
}

function openReceiver(receivers: Record<string, number>, id: string | undefined, share: number): void {
  if (id !== undefined) receivers[id] = Math.min(1, (receivers[id] ?? 0) + share);
}

/** What the still feels of its drives. A diverter in travel pours into the old receiver for half the way, then into the new. */
function setActuators(state: DrivesState): void {
  const { actuators, still } = state;
  actuators.contactorClosed = true;
  actuators.coolantShare = 1;
  actuators.takeOffShare = 1;
  for (const id in actuators.receivers) actuators.receivers[id] = 0;
  openReceiver(actuators.receivers, state.spoutAt ?? undefined, 1);
  let hasCoolantDrive = false;
  for (const id in state.drives) {
    const drive = still.drives[id]!;
    const { position } = state.drives[id]!;
    switch (drive.kind) {
      case 'heat':
        actuators.heat[id] = position;
        break;
      case 'contactor':
        actuators.contactorClosed &&= position >= 0.5;
        break;
      case 'coolant':
        actuators.coolantShare = hasCoolantDrive ? Math.max(actuators.coolantShare, position) : position;
        hasCoolantDrive = true;
        break;
      case 'take-off':
        actuators.takeOffShare = position;
        break;
      case 'receiver-valve':
        openReceiver(actuators.receivers, drive.receiver, position);
        break;
      case 'diverter':
        openReceiver(actuators.receivers, drive.positions[Math.round(position)], 1);
        break;
    }
  }
}

/**
 * State a drive reports of itself: 0 off or closed, 1 on or open, a share between; a diverter's index, −1 while it travels.
 * A valve on its way reports the end it left until its other switch is reached. A welded relay reports what its coil was told, for it knows
 * no better.
 */
export function reportedState(state: DrivesState, id: string): number {
  const own = state.drives[id];
  const drive = state.still.drives[id];
  if (own === undefined || drive === undefined) return Number.NaN;
  switch (drive.kind) {
    case 'heat':
    case 'contactor':
      return own.wanted;
    case 'receiver-valve':
      return own.position === 0 || own.position === 1 ? own.position : own.wanted >= 0.5 ? 0 : 1;
    case 'diverter':
      return Number.isInteger(own.position) ? own.position : -1;
    default:
      return own.position;
  }
}
