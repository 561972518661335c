import type { Reading } from '../../lib/engine/types';
import { isShare, nothing, type Outgoing, type Surroundings, switchWord, type WiredDevice } from './types';

/** What hangs on one node: points it measures, valves it switches, a diverter it turns. */
export interface EsphomeParts {
  readonly sensors: readonly string[];
  readonly switches: readonly string[];
  /** Points that report a drive: end switches of a valve, the place of a diverter. */
  readonly reports: Readonly<Record<string, string>>;
  readonly selects: Readonly<Record<string, readonly string[]>>;
}

const underscored = (name: string) => name.replaceAll('-', '_');

/** Text of a reading: a plain number without a unit; `nan` when the sensor failed. */
export function esphomeText(reading: Reading, isPerCent: boolean): string | null {
  if (reading.value !== null) return String(isPerCent ? Number((reading.value * 100).toFixed(3)) : reading.value);
  switch (reading.fault) {
    case 'missing':
      return null;
    case 'empty':
      return '';
    case 'text':
      return 'unavailable';
    case 'null':
      return 'None';
    case 'infinite':
      return 'inf';
    case 'sentinel':
      return '-127';
    default:
      return 'nan';
  }
}

function feedOf(name: string, point: string): object {
  return { topic: `${name}/sensor/${underscored(point)}/state`, availability: `${name}/status` };
}

/**
 * A node as ESPHome firmware speaks over MQTT: plain numbers, states retained, switches with a command topic.
 *
 * @param perCent points that are sent in per cent
 */
export function esphomeNode(name: string, parts: EsphomeParts, perCent: (point: string) => boolean): WiredDevice {
  const told = new Map<string, string>();
  const stateTopic = (kind: string, id: string) => `${name}/${kind}/${underscored(id)}/state`;
  const commandTopic = (kind: string, id: string) => `${name}/${kind}/${underscored(id)}/command`;
  const availability = `${name}/status`;
  const changed = (topic: string, payload: string): Outgoing[] => {
    if (told.get(topic) === payload) return [];
    told.set(topic, payload);
    return [{ topic, payload, retain: true }];
  };
  const states = (around: Surroundings): Outgoing[] => [
    ...parts.switches.flatMap((drive) =>
      changed(stateTopic('switch', drive), around.stateOf(drive) > 0.5 ? 'ON' : 'OFF'),
    ),
    ...Object.entries(parts.selects).flatMap(([drive, options]) =>
      changed(
        stateTopic('select', drive),
        options[around.stateOf(drive)] ?? told.get(stateTopic('select', drive)) ?? '',
      ),
    ),
  ];
  // End switches and sensors are read when their probe says so, not when the relay turns: through the faults of the site.
  const reportOf = (reading: Reading): Outgoing[] => {
    const drive = parts.reports[reading.point];
    if (drive === undefined) return [];
    const isSelect = parts.selects[drive] !== undefined;
    const text = esphomeText(reading, false);
    if (text === null) return [];
    if (isSelect) return [{ topic: stateTopic('sensor', reading.point), payload: text, retain: true }];
    const word = reading.value === null ? text : reading.value > 0.5 ? 'ON' : 'OFF';
    return [{ topic: stateTopic('binary_sensor', reading.point), payload: word, retain: true }];
  };
  const sensorOf = (reading: Reading, around: Surroundings): Outgoing[] => {
    if (!parts.sensors.includes(reading.point)) return [];
    const text = esphomeText(reading, isShare(around.spec, reading.point));
    return text === null ? [] : [{ topic: stateTopic('sensor', reading.point), payload: text, retain: true }];
  };
  const hearSelect = (drive: string, payload: string, around: Surroundings) => {
    if (parts.selects[drive]?.includes(payload.trim())) around.command(drive, payload.trim(), 0, 1e9);
  };
  return {
    wiring: {
      feeds: Object.fromEntries([
        ...parts.sensors.map((point) => [
          point,
          { mqtt: { ...feedOf(name, point), ...(perCent(point) ? { unit: '%' } : {}) } },
        ]),
        ...Object.entries(parts.reports).map(([point, drive]) => {
          const kind = parts.selects[drive] === undefined ? 'binary_sensor' : 'sensor';
          return [point, { mqtt: { topic: stateTopic(kind, point), availability } }];
        }),
      ]),
      drives: Object.fromEntries([
        ...parts.switches.map((drive) => [
          drive,
          { mqtt: { topic: commandTopic('switch', drive), on: 'ON', off: 'OFF' } },
        ]),
        ...Object.entries(parts.selects).map(([drive, options]) => [
          drive,
          {
            mqtt: {
              topic: commandTopic('select', drive),
              positions: Object.fromEntries(options.map((one) => [one, one])),
            },
          },
        ]),
      ]),
    },
    device: {
      name,
      will: { topic: availability, payload: 'offline', retain: true },
      hears: [
        ...parts.switches.map((drive) => commandTopic('switch', drive)),
        ...Object.keys(parts.selects).map((drive) => commandTopic('select', drive)),
      ],
      birth(around) {
        told.clear();
        return [{ topic: availability, payload: 'online', retain: true }, ...states(around)];
      },
      tell: (readings, around) => readings.flatMap((reading) => [...sensorOf(reading, around), ...reportOf(reading)]),
      hear(topic, payload, around) {
        const drive = parts.switches.find((one) => commandTopic('switch', one) === topic);
        const select = Object.keys(parts.selects).find((one) => commandTopic('select', one) === topic);
        if (drive !== undefined) {
          const isOn = switchWord(payload, around.stateOf(drive) > 0.5);
          if (isOn !== undefined) around.command(drive, isOn ? 1 : 0, 0, 1e9);
        }
        if (select !== undefined) hearSelect(select, payload, around);
        return nothing;
      },
      pass: states,
    },
  };
}
