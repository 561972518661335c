import type { Reading } from '../../lib/engine/types';
import {
  feedsOfReports,
  nothing,
  type Outgoing,
  type Surroundings,
  stampOf,
  switchWord,
  type WiredDevice,
} from './types';

/** Period of the telemetry [s]; the shortest such firmware allows. */
const periodS = 10;

/** Address of a one-wire thermometer, invented and the same for the same point. */
export function thermometerId(point: string): string {
  let hash = 7;
  for (const letter of point) hash = (Math.imul(hash, 31) + letter.charCodeAt(0)) >>> 0;
  return `3C01${hash.toString(16).toUpperCase().padStart(8, '0')}`;
}

/** null when the conversion failed, absent when the probe was not found; firmware knows no other words. */
function thermometerOf(reading: Reading): { Id: string; Temperature: number | null } | null {
  const Id = thermometerId(reading.point);
  if (reading.value !== null) return { Id, Temperature: reading.value };
  if (reading.fault === 'sentinel') return { Id, Temperature: -127 };
  return reading.fault === 'missing' || reading.fault === 'empty' ? null : { Id, Temperature: null };
}

function sensorPayload(readings: readonly Reading[], wallMs: number): string {
  const body: Record<string, unknown> = { Time: stampOf(wallMs) };
  const found = readings.map(thermometerOf).filter((one) => one !== null);
  // One probe has a plain key, several are numbered as the bus found them: map by address, never by number.
  for (const [index, one] of found.entries()) body[found.length === 1 ? 'DS18B20' : `DS18B20-${index + 1}`] = one;
  return JSON.stringify({ ...body, TempUnit: 'C' });
}

function online(name: string, isThere: boolean): Outgoing {
  return { topic: `tele/${name}/LWT`, payload: isThere ? 'Online' : 'Offline', retain: true };
}

/** Collects readings and publishes all of them together, every ten seconds. */
function telemetry(
  points: readonly string[],
  payloadOf: (readings: readonly Reading[], around: Surroundings) => string,
  topic: string,
) {
  let fresh = new Map<string, Reading>();
  let nextS = 0;
  return {
    tell(readings: readonly Reading[]): readonly Outgoing[] {
      for (const reading of readings) if (points.includes(reading.point)) fresh.set(reading.point, reading);
      return nothing;
    },
    pass(around: Surroundings): readonly Outgoing[] {
      if (around.nowS < nextS) return nothing;
      nextS = around.nowS + periodS;
      const readings = points.map((point) => fresh.get(point)).filter((one) => one !== undefined);
      fresh = new Map();
      return readings.length === 0 ? nothing : [{ topic, payload: payloadOf(readings, around) }];
    },
  };
}

/** A board with one-wire thermometers, in the JSON that Tasmota firmware sends. */
export function tasmotaThermometers(name: string, points: readonly string[]): WiredDevice {
  const topic = `tele/${name}/SENSOR`;
  const reports = telemetry(points, (readings, { wallMs }) => sensorPayload(readings, wallMs), topic);
  const feeds = points.map((point) => [
    point,
    {
      mqtt: {
        topic,
        path: `DS18B20*[Id='${thermometerId(point)}'].Temperature`,
        unitPath: 'TempUnit',
        availability: `tele/${name}/LWT`,
      },
    },
  ]);
  return {
    wiring: { feeds: Object.fromEntries(feeds), drives: {} },
    device: {
      name,
      will: online(name, false),
      hears: [],
      birth: () => [online(name, true)],
      tell: reports.tell,
      hear: () => nothing,
      pass: reports.pass,
    },
  };
}

/** A board with a barometer (and a thermometer of the room), as Tasmota firmware sends it. */
export function tasmotaBarometer(name: string, point: string): WiredDevice {
  const topic = `tele/${name}/SENSOR`;
  const payloadOf = ([reading]: readonly Reading[], { wallMs, spec }: Surroundings): string =>
    JSON.stringify({
      Time: stampOf(wallMs),
      BME280: { Temperature: spec.site.roomTempC, Humidity: 52.4, DewPoint: 8.1, Pressure: reading?.value ?? null },
      PressureUnit: 'hPa',
      TempUnit: 'C',
    });
  const reports = telemetry([point], payloadOf, topic);
  return {
    wiring: {
      feeds: {
        [point]: {
          mqtt: { topic, path: 'BME280.Pressure', unitPath: 'PressureUnit', availability: `tele/${name}/LWT` },
        },
      },
      drives: {},
    },
    device: {
      name,
      will: online(name, false),
      hears: [],
      birth: () => [online(name, true)],
      tell: reports.tell,
      hear: () => nothing,
      pass: reports.pass,
    },
  };
}

/** Seconds of the firmware's automatic switch-off: 1..111 are tenths, 112..64900 are seconds and a hundred, 0 is never. */
export function pulseTimeS(setting: number): number | null {
  if (!Number.isInteger(setting) || setting <= 0 || setting > 64_900) return null;
  return setting <= 111 ? setting / 10 : setting - 100;
}

interface Relay {
  readonly drive: string;
  readonly key: string;
  pulseS: number | null;
  offAtS: number | null;
}

function relaysOf(drives: readonly string[]): Relay[] {
  const key = (index: number) => (drives.length === 1 ? 'POWER' : `POWER${index + 1}`);
  return drives.map((drive, index) => ({ drive, key: key(index), pulseS: null, offAtS: null }));
}

/** Relays as Tasmota firmware switches them, with its automatic switch-off (PulseTime) as the dead-man. */
export function tasmotaRelays(
  name: string,
  drives: readonly string[],
  deadManS: Readonly<Record<string, number | undefined>>,
  reports: Readonly<Record<string, string>> = {},
): WiredDevice {
  const relays = relaysOf(drives);
  let nextStateS = 0;
  const word = (relay: Relay, around: Surroundings) => (around.stateOf(relay.drive) > 0.5 ? 'ON' : 'OFF');
  const say = (relay: Relay, state: string): Outgoing[] => [
    { topic: `stat/${name}/RESULT`, payload: JSON.stringify({ [relay.key]: state }) },
    { topic: `stat/${name}/${relay.key}`, payload: state },
  ];
  const turn = (relay: Relay, isOn: boolean, around: Surroundings): readonly Outgoing[] => {
    if (around.command(relay.drive, isOn ? 1 : 0, 0, 1e9) === 'deaf') return nothing;
    relay.offAtS = isOn && relay.pulseS !== null ? around.nowS + relay.pulseS : null;
    return say(relay, isOn ? 'ON' : 'OFF');
  };
  const setupOf = (relay: Relay, index: number) => {
    const seconds = deadManS[relay.drive];
    if (seconds === undefined) return {};
    const setting = seconds <= 11 ? Math.round(seconds * 10) : Math.round(seconds) + 100;
    return { setup: [{ topic: `cmnd/${name}/PulseTime${index + 1}`, payload: String(setting) }] };
  };
  return {
    wiring: {
      feeds: feedsOfReports(reports, (drive) => ({
        topic: `tele/${name}/STATE`,
        path: relays.find((relay) => relay.drive === drive)?.key,
        availability: `tele/${name}/LWT`,
      })),
      drives: Object.fromEntries(
        relays.map((relay, index) => [
          relay.drive,
          { mqtt: { topic: `cmnd/${name}/${relay.key}`, on: 'ON', off: 'OFF', ...setupOf(relay, index) } },
        ]),
      ),
    },
    device: {
      name,
      will: online(name, false),
      hears: [`cmnd/${name}/+`],
      birth: () => [online(name, true)],
      tell: () => nothing,
      hear(topic, payload, around) {
        const asked = topic.slice(`cmnd/${name}/`.length);
        const pulse = /^PulseTime(\d*)$/i.exec(asked);
        const relay = relays[pulse === null ? relays.findIndex((one) => one.key === asked) : Number(pulse[1] || 1) - 1];
        if (relay === undefined) return nothing;
        if (pulse !== null) {
          relay.pulseS = pulseTimeS(Number(payload));
          return [{ topic: `stat/${name}/RESULT`, payload: JSON.stringify({ [asked]: Number(payload) }) }];
        }
        const isOn = switchWord(payload, around.stateOf(relay.drive) > 0.5);
        return isOn === undefined ? say(relay, word(relay, around)) : turn(relay, isOn, around);
      },
      pass(around) {
        const due = relays.filter((relay) => relay.offAtS !== null && around.nowS >= relay.offAtS);
        const switched = due.flatMap((relay) => turn(relay, false, around));
        if (around.nowS < nextStateS) return switched;
        nextStateS = around.nowS + periodS;
        const state = Object.fromEntries(relays.map((relay) => [relay.key, word(relay, around)]));
        const payload = JSON.stringify({ Time: stampOf(around.wallMs), UptimeSec: Math.floor(around.nowS), ...state });
        return [...switched, { topic: `tele/${name}/STATE`, payload }];
      },
    },
  };
}
