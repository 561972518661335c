import type { DriveValue, Reading } from '../../lib/engine/types';
import type { FaultPlan } from '../faults';
import type { Answer, StillSpec } from '../model';
import { reportedState } from '../model';
import { createSite, type Site } from '../site';
import { type BrokerAccess, connectDevice, type DeviceClient } from './client';
import { layoutOf, wiringOf } from './layout';
import type { Device, Surroundings, WiredDevice, Wiring } from './types';

export interface SiteStart extends BrokerAccess {
  readonly spec: StillSpec;
  /** Site seconds a wall second; 1 is real time. */
  readonly speed?: number;
  readonly seed?: number;
  readonly faults?: readonly FaultPlan[];
  /** Other devices than those a small stillhouse would have. */
  readonly layout?: readonly WiredDevice[];
  /** Length of a step of the site [s]. */
  readonly dtS?: number;
}

/** A simulated site on a broker. */
export interface RunningSite {
  readonly site: Site;
  /** `feeds` and `drives` of the still in a daemon's configuration. */
  readonly wiring: Wiring;
  readonly latest: ReadonlyMap<string, Reading>;
  /** Site seconds that were left out because the machine was too slow. */
  readonly skippedS: number;
  inject(plan: FaultPlan): void;
  /** Cuts every device off the broker, as a lost network does; and mends it. The site itself goes on. */
  cutLink(): void;
  mendLink(): Promise<void>;
  /** Carries out a command as if a device had heard it; for the serial and Modbus sides. */
  command(drive: string, value: DriveValue): Answer;
  stop(): Promise<void>;
}

/** Ticks follow the steps as far as timers can, so that in fast time readings still come one by one and none looks stale between bursts. */
const shortestTickMs = 2;
const longestTickMs = 50;
/** Steps of one tick; beyond it time is left out, so that a stalled machine never works off hours at once. */
const mostStepsPerTick = 600;

interface Connected {
  readonly device: Device;
  readonly client: DeviceClient;
}

/**
 * Brings a simulated still to life on a broker: its devices publish what their probes read and carry out what they hear.
 *
 * @returns when every device is connected
 * @example const running = await startSite({ brokerUrl: 'mqtt://127.0.0.1:1883', spec, speed: 240, seed: 1 }); … await running.stop();
 */
export async function startSite(start: SiteStart): Promise<RunningSite> {
  const { spec, speed = 1, seed = 1, dtS = 1 } = start;
  const layout = start.layout ?? layoutOf(spec);
  const site = createSite({ spec, seed, faults: start.faults ?? [], deadManInDevices: true });
  const latest = new Map<string, Reading>();
  const around = surroundingsOf(site, latest, speed);
  const connected: Connected[] = [];
  try {
    for (const { device } of layout) {
      const client: DeviceClient = await connectDevice(device, start, around, (topic, payload) =>
        client.send(device.hear(topic, payload, around())),
      );
      connected.push({ device, client });
    }
  } catch (error) {
    await Promise.all(connected.map(({ client }) => client.end()));
    throw error;
  }

  let skippedS = 0;
  let owedS = 0;
  let lastMs = performance.now();
  let isPowered = true;
  let isLinked = true;

  const power = (isOn: boolean): void => {
    if (isOn === isPowered) return;
    isPowered = isOn;
    for (const { client } of connected) {
      if (!isOn) client.drop();
      else if (isLinked) void client.comeBack().catch(() => undefined);
    }
  };
  const once = (): void => {
    const readings = site.advance(dtS);
    for (const reading of readings) latest.set(reading.point, reading);
    power(site.world.mainsOn);
    const now = around();
    for (const { device, client } of connected) client.send([...device.tell(readings, now), ...device.pass(now)]);
  };
  const tick = (): void => {
    const nowMs = performance.now();
    owedS += ((nowMs - lastMs) / 1000) * speed;
    lastMs = nowMs;
    for (let steps = 0; owedS >= dtS && steps < mostStepsPerTick; steps++) {
      owedS -= dtS;
      once();
    }
    if (owedS < dtS) return;
    skippedS += owedS;
    owedS = 0;
  };
  const tickMs = Math.min(longestTickMs, Math.max(shortestTickMs, (1000 * dtS) / speed));
  const timer = setInterval(tick, tickMs);

  return {
    site,
    wiring: wiringOf(layout),
    latest,
    get skippedS() {
      return skippedS;
    },
    inject: (plan) => site.faults.add(plan),
    cutLink() {
      isLinked = false;
      for (const { client } of connected) client.drop();
    },
    async mendLink() {
      isLinked = true;
      if (isPowered) await Promise.all(connected.map(({ client }) => client.comeBack()));
    },
    command: (drive, value) => around().command(drive, value, 0, 1e9),
    async stop() {
      clearInterval(timer);
      await Promise.all(connected.map(({ client }) => client.end()));
    },
  };
}

/** What devices see of the site. Commands pass the faults of the site on their way to the drive. */
function surroundingsOf(site: Site, latest: ReadonlyMap<string, Reading>, speed: number): () => Surroundings {
  let count = 0;
  return () => ({
    spec: site.spec,
    nowS: site.state.atS,
    wallMs: Date.now(),
    speed,
    latest: (point) => latest.get(point),
    stateOf: (drive) => reportedState(site.drives, drive),
    wattsOf: (drive) => site.state.sources[drive]?.powerW ?? site.state.powerW,
    command(drive, value, ageS, ttlS) {
      count += 1;
      const issuedAtS = site.state.atS - ageS;
      const reason = { code: 'device', numbers: {} };
      const [passed] = site.faults.commands([
        { id: `d${count}`, drive, value, issuedAtS, ttlS, repeat: false, safe: false, reason },
      ]);
      return passed === undefined ? 'deaf' : site.take(passed);
    },
  });
}
