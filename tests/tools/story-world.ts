import type { Command, DriveValue, Plant, Reading } from '../../lib';

/** What a story makes of a point instead of what the still would show. */
export type Override =
  | { readonly kind: 'value'; readonly value: number }
  | { readonly kind: 'stays'; readonly value: number }
  | {
      readonly kind: 'moves';
      readonly from: number;
      readonly perS: number;
      readonly until: number | null;
      readonly sinceS: number;
    }
  | { readonly kind: 'sticks'; readonly value: number | null }
  | { readonly kind: 'silent' | 'text' };

interface DriveState {
  told: DriveValue;
  toldAtS: number;
  position: number;
  arrivesAtS: number;
  stuck: boolean;
  welded: boolean;
  reports: number | null;
}

/** A still as simple as a story needs it: it heats, boils and cools, and its drives do as they are told. Plain data. */
export interface StoryWorld {
  atS: number;
  kind: 'pot' | 'column';
  boilerC: number;
  vapourC: number;
  collectedL: number;
  metredL: number;
  powerOn: boolean;
  linkUp: boolean;
  drives: Record<string, DriveState>;
  receiversL: Record<string, number>;
  overrides: Record<string, Override>;
  shown: Record<string, number>;
  heatW: number;
  pressed: boolean;
}

const roomC = 18;
const chargeJPerK = 200_000;

export function createWorld(plant: Plant): StoryWorld {
  const drives: StoryWorld['drives'] = {};
  for (const [id, drive] of Object.entries(plant.still.drives)) {
    const open = drive.kind === 'receiver-valve' && drive.failPosition === 'open';
    drives[id] = {
      told: 0,
      toldAtS: 0,
      position: open ? 1 : 0,
      arrivesAtS: 0,
      stuck: false,
      welded: false,
      reports: null,
    };
  }
  const receiversL = Object.fromEntries(Object.keys(plant.still.receivers).map((id) => [id, 0]));
  return {
    atS: 0,
    kind: plant.still.kind,
    boilerC: roomC,
    vapourC: roomC,
    collectedL: 0,
    metredL: 0,
    powerOn: true,
    linkUp: true,
    drives,
    receiversL,
    overrides: {},
    shown: {},
    heatW: 0,
    pressed: false,
  };
}

/** Commands reach the devices only over a link that is up, and only devices that have power obey. */
export function takeCommands(world: StoryWorld, plant: Plant, commands: readonly Command[]): void {
  if (!world.linkUp || !world.powerOn) return;
  for (const command of commands) {
    const drive = plant.still.drives[command.drive];
    const state = world.drives[command.drive];
    if (drive === undefined || state === undefined) continue;
    if (state.told !== command.value) {
      state.arrivesAtS = world.atS + ('travelS' in drive ? drive.travelS : 0);
    }
    state.told = command.value;
    state.toldAtS = world.atS;
  }
}

function positionOf(plant: Plant, id: string, told: DriveValue): number {
  const drive = plant.still.drives[id];
  if (drive?.kind === 'diverter') return Math.max(0, drive.positions.indexOf(String(told)));
  return typeof told === 'number' ? told : 0;
}

function moveDrives(world: StoryWorld, plant: Plant): void {
  for (const [id, state] of Object.entries(world.drives)) {
    const drive = plant.still.drives[id];
    if (drive === undefined || state.stuck) continue;
    if (!world.powerOn) {
      const failsOpen =
        (drive.kind === 'receiver-valve' && drive.failPosition === 'open') ||
        (drive.kind === 'coolant' && drive.failPosition === 'on');
      state.position = drive.kind === 'diverter' ? state.position : failsOpen ? 1 : 0;
      state.told = drive.kind === 'diverter' ? state.told : state.position;
      continue;
    }
    if (drive.deadManS !== undefined && world.atS - state.toldAtS > drive.deadManS) state.told = 0;
    if (world.atS >= state.arrivesAtS && !state.welded) state.position = positionOf(plant, id, state.told);
  }
}

function drivesOfKind(plant: Plant, kind: string): string[] {
  return Object.keys(plant.still.drives).filter((id) => plant.still.drives[id]?.kind === kind);
}

function heat(world: StoryWorld, plant: Plant): number {
  const closed = drivesOfKind(plant, 'contactor').every((id) => (world.drives[id]?.position ?? 1) > 0);
  if (!world.powerOn || !closed) return 0;
  return drivesOfKind(plant, 'heat').reduce((sum, id) => {
    const drive = plant.still.drives[id];
    return sum + (drive?.kind === 'heat' ? drive.ratedW * (world.drives[id]?.position ?? 0) : 0);
  }, 0);
}

/** About what 50 L of 30 % vol boil at under 962 hPa, by what came over. */
function boilingC(world: StoryWorld): number {
  return 84.3 + 0.25 * world.collectedL + 0.012 * world.collectedL ** 2;
}

/** Lets one second pass. */
export function advanceWorld(world: StoryWorld, plant: Plant): void {
  world.atS += 1;
  moveDrives(world, plant);
  world.heatW = heat(world, plant);
  const netW = Math.max(0, world.heatW * 0.92 - 150);
  const boilsAtC = boilingC(world);
  if (world.boilerC < boilsAtC - 0.05 || netW === 0) {
    world.boilerC += netW > 0 ? netW / chargeJPerK : -(world.boilerC - roomC) / 12_000;
    world.vapourC += (roomC - world.vapourC) / 600;
    return;
  }
  world.boilerC = boilsAtC;
  const takeOff = drivesOfKind(plant, 'take-off').map((id) => world.drives[id]?.position ?? 0)[0] ?? 1;
  const cameL = ((netW / 1000) * (world.kind === 'pot' ? 3 : 1) * takeOff) / 3600;
  world.collectedL += cameL;
  world.metredL += cameL;
  const enrichedK = Math.max(1, 3.9 - 0.13 * world.collectedL);
  const headC = world.kind === 'pot' ? boilsAtC - enrichedK : 77.3 + 2 * Math.max(0, world.collectedL - 10);
  world.vapourC += (headC - world.vapourC) / 12;
  const open = openReceivers(world, plant);
  for (const id of open) world.receiversL[id] = (world.receiversL[id] ?? 0) + cameL / open.length;
}

function openReceivers(world: StoryWorld, plant: Plant): string[] {
  const open: string[] = [];
  for (const [id, drive] of Object.entries(plant.still.drives)) {
    const position = world.drives[id]?.position ?? 0;
    if (drive.kind === 'receiver-valve' && position > 0) open.push(drive.receiver);
    if (drive.kind === 'diverter') open.push(drive.positions[position] ?? drive.positions[0]!);
  }
  return open;
}

const everyS: Record<string, number> = {
  'product-temp': 5,
  'boiler-level': 5,
  'vapour-gas': 5,
  'collected-volume': 5,
  'receiver-volume': 5,
  'parrot-strength': 5,
  'drive-state': 2,
  'air-pressure': 10,
};
const ditherOf: Record<string, number> = {
  'vapour-temp': 0.0625,
  'boiler-temp': 0.0625,
  'element-temp': 0.25,
  'coolant-flow': 1,
  'boiler-pressure': 0.1,
  'heat-power': 5,
};
const wave = [0, 1, 0, -1] as const;

/** The readings of this second, as the still or the story has them. */
export function readWorld(world: StoryWorld, plant: Plant): Reading[] {
  if (!world.linkUp || !world.powerOn) return [];
  const readings: Reading[] = [];
  for (const [id, point] of Object.entries(plant.still.points)) {
    if (world.atS % (everyS[point.kind] ?? 1) !== 0) continue;
    const reading = readPoint(world, plant, id, point.kind);
    if (reading !== null) readings.push(reading);
  }
  world.pressed = false;
  return readings;
}

function readPoint(world: StoryWorld, plant: Plant, id: string, kind: string): Reading | null {
  const override = world.overrides[id];
  const dither = (ditherOf[kind] ?? 0) * (wave[world.atS % 4] ?? 0);
  if (override?.kind === 'silent') return null;
  if (override?.kind === 'text') return { point: id, value: null, atS: world.atS, fault: 'not-a-number' };
  const value =
    override === undefined ? truth(world, plant, id, kind) + dither : overridden(world, id, override, dither);
  world.shown[id] = value;
  return { point: id, value, atS: world.atS };
}

function overridden(world: StoryWorld, id: string, override: Override, dither: number): number {
  switch (override.kind) {
    case 'value':
      return override.value;
    case 'stays':
      return override.value + dither;
    case 'moves': {
      const value = override.from + override.perS * (world.atS - override.sinceS);
      if (override.until === null) return value;
      return override.perS > 0 ? Math.min(value, override.until) : Math.max(value, override.until);
    }
    default:
      return (override.kind === 'sticks' ? override.value : null) ?? world.shown[id] ?? 0;
  }
}

function truth(world: StoryWorld, plant: Plant, id: string, kind: string): number {
  const boils = world.heatW > 0 && world.boilerC >= boilingC(world) - 0.05;
  switch (kind) {
    case 'vapour-temp':
      return world.vapourC;
    case 'boiler-temp':
      return world.boilerC;
    case 'element-temp':
      return world.boilerC + world.heatW / 600;
    case 'product-temp':
      return 16;
    case 'coolant-flow':
      return drivesOfKind(plant, 'coolant').some((drive) => (world.drives[drive]?.position ?? 0) > 0) ? 300 : 0;
    case 'air-pressure':
      return 962;
    case 'boiler-pressure':
      return boils ? world.heatW / 1500 : 0;
    case 'boiler-level':
      return (50 - world.collectedL) / plant.still.boilerVolumeL;
    case 'vapour-gas':
      return 0.01;
    case 'heat-power':
      return world.heatW;
    case 'collected-volume':
      return world.metredL;
    case 'parrot-strength':
      return Math.max(0.05, 0.84 - 0.03 * world.collectedL);
    case 'receiver-volume':
      return world.receiversL[plant.still.points[id]?.receiver ?? ''] ?? 0;
    case 'attendance':
      return world.pressed ? 1 : 0;
    case 'drive-state': {
      const drive = world.drives[plant.still.points[id]?.drive ?? ''];
      return drive?.reports ?? drive?.position ?? 0;
    }
    default:
      return 0;
  }
}
