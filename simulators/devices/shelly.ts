import { feedsOfReports, nothing, type Outgoing, type Surroundings, type WiredDevice } from './types';

const statusEveryS = 15;

interface RpcCall {
  readonly id: unknown;
  readonly src: string;
  readonly method: string;
  readonly params: Readonly<Record<string, unknown>>;
}

function parseCall(payload: string): RpcCall | null {
  try {
    const document = JSON.parse(payload) as Readonly<Record<string, unknown>> | null;
    if (document === null || typeof document !== 'object') return null;
    const { id, src, method, params } = document;
    if (typeof src !== 'string' || typeof method !== 'string') return null;
    return {
      id,
      src,
      method,
      params: typeof params === 'object' && params !== null ? (params as RpcCall['params']) : {},
    };
  } catch {
    return null;
  }
}

/** The source that firmware names for who asked. */
const askedBy = { rpc: 'MQTT', timer: 'timer' } as const;

/**
 * A metering relay as Shelly devices of the second generation speak: RPC over MQTT, status with the power drawn, partial notifications, and
 * `toggle_after` as the dead-man.
 *
 * @param powerPoint point that reads the power from its status; null where none does
 * @param deadManS dead-man of the drive [s]; undefined where it has none
 */
export function shellyRelay(
  id: string,
  drive: string,
  powerPoint: string | null,
  deadManS: number | undefined,
  reports: Readonly<Record<string, string>> = {},
): WiredDevice {
  let toggleAtS: number | null = null;
  let source: string = askedBy.rpc;
  let nextStatusS = 0;
  let wasOn: boolean | null = null;
  let energyWh = 0;
  let lastS = 0;

  const status = (around: Surroundings): Outgoing => {
    const isOn = around.stateOf(drive) > 0.5;
    const reading = powerPoint === null ? undefined : around.latest(powerPoint);
    const watts = reading === undefined ? around.wattsOf(drive) : reading.value;
    const apower = watts === null ? null : Number(watts.toFixed(1));
    const payload = {
      id: 0,
      source,
      output: isOn,
      apower,
      voltage: 231.2,
      current: apower === null ? null : Number((apower / 231.2).toFixed(3)),
      aenergy: { total: Number(energyWh.toFixed(2)) },
      temperature: { tC: 41.3, tF: 106.3 },
    };
    return { topic: `${id}/status/switch:0`, payload: JSON.stringify(payload) };
  };
  const notify = (around: Surroundings): Outgoing => {
    const change = { ts: around.wallMs / 1000, 'switch:0': { id: 0, output: around.stateOf(drive) > 0.5, source } };
    const payload = { src: id, dst: `${id}/events`, method: 'NotifyStatus', params: change };
    return { topic: `${id}/events/rpc`, payload: JSON.stringify(payload) };
  };
  const reply = (call: RpcCall, body: object): Outgoing => ({
    topic: `${call.src}/rpc`,
    payload: JSON.stringify({ id: call.id, src: id, dst: call.src, ...body }),
  });
  const refuse = (call: RpcCall, code: number, message: string) => [reply(call, { error: { code, message } })];
  const set = (call: RpcCall, around: Surroundings): readonly Outgoing[] => {
    const { params } = call;
    if (params.id !== 0) return refuse(call, -105, `Argument 'id', value ${String(params.id)} not found!`);
    if (typeof params.on !== 'boolean') return refuse(call, -103, "Missing or bad argument 'on'!");
    const was = around.stateOf(drive) > 0.5;
    if (around.command(drive, params.on ? 1 : 0, 0, 1e9) === 'deaf') return nothing;
    source = askedBy.rpc;
    const after = params.toggle_after;
    toggleAtS = typeof after === 'number' && after > 0 ? around.nowS + after : null;
    return [reply(call, { result: { was_on: was } })];
  };
  const onlineTopic = `${id}/online`;
  const statusFeed = (path: string) => ({ topic: `${id}/status/switch:0`, path, availability: onlineTopic });
  const params = { id: 0, on: '{on}', ...(deadManS === undefined ? {} : { toggle_after: '{deadManS}' }) };
  return {
    wiring: {
      feeds: {
        ...(powerPoint === null ? {} : { [powerPoint]: { mqtt: statusFeed('apower') } }),
        ...feedsOfReports(reports, () => statusFeed('output')),
      },
      drives: {
        [drive]: {
          mqtt: {
            topic: `${id}/rpc`,
            template: { id: '{id}', src: 'stillhouse', method: 'Switch.Set', params },
            reply: { topic: 'stillhouse/rpc', idPath: 'id', errorPath: 'error' },
          },
        },
      },
    },
    device: {
      name: id,
      will: { topic: onlineTopic, payload: 'false', retain: true },
      hears: [`${id}/rpc`],
      birth: (around) => [{ topic: onlineTopic, payload: 'true', retain: true }, status(around)],
      // Power is reported when its meter has a new value, and at every change of the relay.
      tell: (readings, around) => (readings.some((one) => one.point === powerPoint) ? [status(around)] : nothing),
      hear(_topic, payload, around) {
        const call = parseCall(payload);
        if (call === null) return nothing;
        if (call.method === 'Switch.Set') return set(call, around);
        if (call.method === 'Switch.GetStatus')
          return [reply(call, { result: JSON.parse(status(around).payload) as object })];
        return refuse(call, 404, `No handler for ${call.method}`);
      },
      pass(around) {
        energyWh += (around.wattsOf(drive) * (around.nowS - lastS)) / 3600;
        lastS = around.nowS;
        if (toggleAtS !== null && around.nowS >= toggleAtS) {
          toggleAtS = null;
          source = askedBy.timer;
          around.command(drive, around.stateOf(drive) > 0.5 ? 0 : 1, 0, 1e9);
        }
        const isOn = around.stateOf(drive) > 0.5;
        const out: Outgoing[] = isOn === wasOn ? [] : [notify(around), status(around)];
        wasOn = isOn;
        if (around.nowS < nextStatusS) return out;
        nextStatusS = around.nowS + statusEveryS;
        return [...out, status(around)];
      },
    },
  };
}
