import type { CongenerName } from '../../lib/physics';
import { type Drive, type PointKind, pointKinds, type Still } from '../../lib/still/schema';
import type { HeatSpec, ProbeSpec, StillOptions, StillSpec } from './spec';

/** Lays further options over others, part by part. */
export function mergeOptions(base: StillOptions, over: StillOptions): StillOptions {
  return {
    ...base,
    ...over,
    charge: { ...base.charge, ...over.charge },
    body: { ...base.body, ...over.body },
    tower: { ...base.tower, ...over.tower },
    condenser: { ...base.condenser, ...over.condenser },
    site: { ...base.site, ...over.site },
    heat: { ...base.heat, ...over.heat },
    probes: { ...base.probes, ...over.probes },
  };
}

/** Minor compounds of an invented perry low wines of 30 % vol [mg/L]. Invented for the demo; no analysis. */
export const perryCongenersMgPerL: Readonly<Record<CongenerName, number>> = {
  acetaldehyde: 80,
  'ethyl acetate': 220,
  methanol: 1800,
  acetone: 2,
  '1-propanol': 220,
  isobutanol: 150,
  'isoamyl alcohol': 380,
  'acetic acid': 260,
  furfural: 4,
};

const runOnOf = { element: 10, steam: 900, gas: 60, 'solid-fire': 3600 } as const;

/** The body of a heat source: its warmth is given off within the stated run-on (three time constants). */
export function heatSpecOf(drive: Extract<Drive, { kind: 'heat' }>): HeatSpec {
  const runOnS = drive.runOnS ?? runOnOf[drive.source];
  if (drive.source === 'element') {
    // A bare 5 kW element gains about 5 K/s and stands 8 K above the liquid it heats.
    return {
      ratedW: drive.ratedW,
      efficiency: 0.97,
      bodyJPerK: drive.ratedW / 5,
      toLiquidWPerK: drive.ratedW / 8,
      toAirWPerK: drive.ratedW / 1000,
    };
  }
  const toLiquidWPerK = drive.ratedW / 25;
  return {
    ratedW: drive.ratedW,
    efficiency: drive.source === 'steam' ? 0.92 : 0.7,
    bodyJPerK: (toLiquidWPerK * Math.max(runOnS, 3)) / 3,
    toLiquidWPerK,
    toAirWPerK: drive.ratedW / 800,
  };
}

const probeDefaults: Readonly<Record<PointKind, Omit<ProbeSpec, 'gain' | 'offset' | 'wanderPerRootH' | 'lowest'>>> = {
  'vapour-temp': { lagS: 6, noise: 0.03, resolution: 0.0625, periodS: 1 },
  'boiler-temp': { lagS: 12, noise: 0.03, resolution: 0.0625, periodS: 2 },
  'element-temp': { lagS: 2, noise: 0.2, resolution: 0.25, periodS: 1 },
  'product-temp': { lagS: 8, noise: 0.05, resolution: 0.0625, periodS: 5 },
  'coolant-in-temp': { lagS: 8, noise: 0.05, resolution: 0.0625, periodS: 10 },
  'coolant-out-temp': { lagS: 8, noise: 0.05, resolution: 0.0625, periodS: 10 },
  'room-temp': { lagS: 60, noise: 0.05, resolution: 0.1, periodS: 60 },
  'parrot-temp': { lagS: 20, noise: 0.05, resolution: 0.0625, periodS: 5 },
  'air-pressure': { lagS: 0, noise: 0.06, resolution: 0.1, periodS: 10 },
  'boiler-pressure': { lagS: 0.5, noise: 0.15, resolution: 0.1, periodS: 1 },
  'boiler-level': { lagS: 5, noise: 0.004, resolution: 0.005, periodS: 5 },
  'coolant-flow': { lagS: 1, noise: 2, resolution: 1, periodS: 5 },
  'product-flow': { lagS: 8, noise: 0.1, resolution: 0.05, periodS: 5 },
  'collected-volume': { lagS: 0, noise: 0, resolution: 0.005, periodS: 5 },
  'receiver-volume': { lagS: 0, noise: 0.005, resolution: 0.01, periodS: 10 },
  'parrot-strength': { lagS: 10, noise: 0.0005, resolution: 0.001, periodS: 10 },
  'heat-power': { lagS: 0, noise: 8, resolution: 0.1, periodS: 2 },
  'vapour-gas': { lagS: 10, noise: 0.003, resolution: 0.01, periodS: 5 },
  'drive-state': { lagS: 0, noise: 0, resolution: 0, periodS: 2 },
  attendance: { lagS: 0, noise: 0, resolution: 0, periodS: 60 },
};

function isHeat(entry: readonly [string, Drive]): entry is [string, Extract<Drive, { kind: 'heat' }>] {
  return entry[1].kind === 'heat';
}

function probesOf(still: Still, options: StillOptions): Record<string, ProbeSpec> {
  return Object.fromEntries(
    Object.entries(still.points).map(([id, point]) => {
      const usual = probeDefaults[point.kind];
      const resolution = point.resolution ?? usual.resolution;
      const lowest = pointKinds[point.kind].min === 0 || point.kind === 'heat-power' ? 0 : null;
      const base: ProbeSpec = { ...usual, resolution, offset: 0, gain: 1, wanderPerRootH: 0, lowest };
      return [id, { ...base, ...options.probes?.[id] }];
    }),
  );
}

/**
 * Everything about a simulated still, from its document: what the document does not say is taken as usual for its size and heat.
 *
 * @param still the still, as its schema gives it
 * @param options parts to be otherwise
 */
export function describeStill(still: Still, options: StillOptions = {}): StillSpec {
  const size = still.boilerVolumeL / 60;
  const heats = Object.entries(still.drives).filter(isHeat);
  const ratedW = heats.reduce((sum, [, drive]) => sum + drive.ratedW, 0) || 5000;
  const power = ratedW / 5000;
  const isPot = still.kind === 'pot';
  const kinds = Object.values(still.points).map((point) => point.kind);
  const hasParrot = kinds.includes('parrot-strength') || kinds.includes('parrot-temp');
  const heat = heats.map(([id, drive]) => [id, { ...heatSpecOf(drive), ...options.heat?.[id] }] as const);
  return {
    still,
    charge: {
      volumeL: still.boilerVolumeL,
      strengthAbv: 0.3,
      tempC: 15,
      congenersMgPerL: perryCongenersMgPerL,
      solidsRiseK: 0,
      ...options.charge,
    },
    body: {
      boilerMetalJPerK: 9600 * size,
      boilerLossWPerK: 2.2 * size ** (2 / 3),
      elementTopL: 0.7 * still.heelL,
      elementBottomL: 0.4 * still.heelL,
      superheatK: 0,
      foamShare: 0,
      reliefHPa: 100,
      vacuumBreakerHPa: 30,
      ...options.body,
    },
    tower: {
      stages: isPot ? 1 : 10,
      holdUpMolPerStage: (isPot ? 2 : 3) * size,
      metalJPerKPerStage: (isPot ? 1900 : 450) * size,
      lossWPerK: (isPot ? 8.5 : 2.5) * power,
      dropHPa: isPot ? 1 : 8,
      dropBehindHPa: 0.3,
      ...options.tower,
    },
    condenser: {
      coolantLPerH: 150 * power,
      coolantInC: 12,
      coolantHeldL: 3 * power,
      halfWPerK: 160 * power,
      subcoolWPerK: 35 * power,
      ...options.condenser,
    },
    site: {
      altitudeM: still.altitudeM ?? 0,
      roomTempC: 18,
      zoneM3: 3,
      airChangesPerH: 12,
      weather: { offsetHPa: 0, wanderHPaPerRootH: 0.5, front: null },
      ...options.site,
    },
    heat: Object.fromEntries(heat),
    probes: probesOf(still, options),
    parrotL: options.parrotL ?? (hasParrot ? 0.2 : 0),
    parrotGlass: options.parrotGlass ?? kinds.includes('parrot-temp'),
    backUpL: options.backUpL ?? 0.6 * size,
    tracers: options.tracers ?? true,
  };
}
