import { connectAsync, type MqttClient } from 'mqtt';
import { afterEach, describe, expect, it } from 'vitest';
import { feedSchema, type MqttFeed } from '../../daemon/config/feeds-schema';
import { compilePlant, createController, type Event, freshRun, type OrderKind } from '../../lib';
import {
  type CompiledMapping,
  compileMapping,
  driveMappingSchema,
  payloadOfCommand,
  readingOf,
  readPayload,
  topicsOf,
} from '../../lib/wire';
import { type RunningSite, startSite } from '../../simulators/devices';
import { fractionsOf, type StillSpec } from '../../simulators/model';
import { recipeOf, type ScenarioName, scenarios, specOf } from '../../simulators/scenarios';
import { startEmbedded, startReal, type TestBroker } from '../tools/brokers';
import { until } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { good } from '../tools/plants';

interface Heard {
  readonly topic: string;
  readonly payload: string;
  readonly retain: boolean;
}

const open: { remove?: () => Promise<unknown> }[] = [];

afterEach(async () => {
  for (const one of open.splice(0).reverse()) await one.remove?.();
});

async function listen(broker: TestBroker): Promise<{ client: MqttClient; heard: Heard[] }> {
  const client = await connectAsync(`mqtt://127.0.0.1:${broker.port}`);
  open.push({ remove: () => client.endAsync(true) });
  const heard: Heard[] = [];
  client.on('message', (topic, payload, packet) =>
    heard.push({ topic, payload: payload.toString(), retain: packet.retain }),
  );
  await client.subscribeAsync('#', { qos: 1 });
  return { client, heard };
}

async function bring(broker: TestBroker, spec: StillSpec, speed: number): Promise<RunningSite> {
  const running = await startSite({ brokerUrl: `mqtt://127.0.0.1:${broker.port}`, spec, speed, seed: 3 });
  open.push({ remove: () => running.stop() });
  return running;
}

/** The engine over MQTT, with nothing between but the wiring: what a daemon does, in thirty lines. */
function superviseByMqtt(running: RunningSite, client: MqttClient, name: ScenarioName, speed: number) {
  const { spec } = running.site;
  const { still } = spec;
  const plant = good(
    compilePlant(still, recipeOf(scenarios[name]), scenarios[name].variant, {
      volumeL: spec.charge.volumeL,
      strengthAbv: spec.charge.strengthAbv,
    }),
  );
  const controller = createController(plant, freshRun(0));
  const feeds = new Map<string, { point: string; mapping: CompiledMapping }[]>();
  for (const [point, feed] of Object.entries(running.wiring.feeds)) {
    const { mqtt } = feedSchema.parse(feed) as { mqtt: MqttFeed };
    const { topic, qos: _qos, availability: _availability, ...fields } = mqtt;
    const mapping = good(compileMapping(fields, still.points[point]!.kind));
    feeds.set(topic, [...(feeds.get(topic) ?? []), { point, mapping }]);
  }
  const startMs = performance.now();
  const now = () => ((performance.now() - startMs) / 1000) * speed;
  client.on('message', (topic, payload, { retain }) => {
    for (const { point, mapping } of feeds.get(topic) ?? []) {
      const reading = readingOf(readPayload(payload, mapping, { retained: retain }), point, now());
      if (reading !== null) controller.put(reading);
    }
  });
  const events: Event[] = [];
  let orders = 0;
  let nextOrderS = 30;
  const say = (kind: OrderKind, target?: string) => {
    orders += 1;
    const order = { id: `o${orders}`, kind, by: 'test', from: 'still' } as const;
    controller.order(target === undefined ? order : { ...order, target });
  };
  const scan = () => {
    if (now() > nextOrderS) {
      nextOrderS += 60;
      if (orders === 0) say('start');
      // In fast time a hiccup of the machine can look like a stuck valve or a lost probe: somebody is there who goes on.
      if (controller.run.state === 'held') {
        for (const id of Object.keys(controller.run.alarms)) say('acknowledge', id);
        say('resume');
      }
    }
    const result = controller.scan(now());
    events.push(...result.events);
    for (const command of result.commands) {
      const drive = still.drives[command.drive]!;
      const mapping = driveMappingSchema.parse((running.wiring.drives[command.drive] as { mqtt: unknown }).mqtt);
      const message = {
        id: command.id,
        value: command.value,
        issuedAt: new Date().toISOString(),
        ttlS: command.ttlS,
        reason: '',
      };
      const topic = mapping.topic ?? topicsOf(still.id).driveSet(command.drive);
      client.publish(topic, payloadOfCommand(mapping, drive, message, command.repeat), { qos: 1 });
    }
  };
  const timer = setInterval(scan, 5);
  open.push({ remove: async () => clearInterval(timer) });
  return { controller, events, stop: () => clearInterval(timer) };
}

const brokers: readonly (readonly [string, () => Promise<TestBroker>, boolean])[] = [
  ['the embedded broker', startEmbedded, true],
  ['Mosquitto', startReal, needs('mosquitto')],
];

describe.each(brokers)('simulated site on %s', (_name, start, isThere) => {
  const fresh = async () => {
    const broker = await start();
    open.push({ remove: broker.remove });
    return broker;
  };

  it.skipIf(!isThere)(
    'lets the wills speak when the link is cut, heat dies by itself, and all is back when it is mended',
    async () => {
      const broker = await fresh();
      const { client, heard } = await listen(broker);
      const running = await bring(broker, specOf(scenarios['pot-spirit'], { tracers: false }), 20);
      const heat = topicsOf('orchard').driveSet('heat');
      const command = { id: 'c1', value: 1, issuedAt: new Date().toISOString(), ttlS: 10, reason: 'test' };
      client.publish(
        'orchard-main-contactor/rpc',
        JSON.stringify({ id: 1, src: 't', method: 'Switch.Set', params: { id: 0, on: true } }),
      );
      client.publish(heat, JSON.stringify(command), { qos: 1 });
      await until('heat on', () => running.site.state.powerW === 5000);
      running.cutLink();
      await until('wills', () => heard.some((one) => one.topic === 'orchard-head/status' && one.payload === 'offline'));
      await until('the other wills', () =>
        heard.some((one) => one.topic === 'tele/orchard_probes/LWT' && one.payload === 'Offline'),
      );
      await until('dead-man', () => running.site.state.powerW === 0, 8000);
      const before = heard.length;
      await running.mendLink();
      await until('back', () =>
        heard.slice(before).some((one) => one.topic === 'orchard-head/status' && one.payload === 'online'),
      );
      await until('readings', () => heard.slice(before).some((one) => one.topic.endsWith('vapour_temp/state')));
      expect(running.site.state.powerW).toBe(0);
    },
  );

  it.skipIf(!isThere)('falls silent in a power cut, with its drives at rest, and comes back cold', async () => {
    const broker = await fresh();
    const { client, heard } = await listen(broker);
    const running = await bring(broker, specOf(scenarios['pot-spirit'], { tracers: false }), 20);
    client.publish('orchard-valves/switch/hearts_valve/command', 'ON', { qos: 1 });
    await until('hearts open', () => running.site.drives.actuators.receivers['hearts-can'] === 1);
    const fromS = running.site.state.atS + 5;
    running.inject({ fault: 'power-dip', fromS, untilS: fromS + 30 });
    await until('offline', () => heard.some((one) => one.topic === 'orchard-head/status' && one.payload === 'offline'));
    await until('hearts shut, feints open', () => {
      const { receivers } = running.site.drives.actuators;
      return receivers['hearts-can'] === 0 && receivers['feints-can'] === 1;
    });
    await until(
      'back',
      () => heard.filter((one) => one.topic === 'orchard-head/status' && one.payload === 'online').length >= 2,
    );
    expect(running.site.drives.actuators.heat.heat).toBe(0);
  });

  it.skipIf(!isThere)('obeys nothing that was retained, and leaves only its goodbye behind', async () => {
    const broker = await fresh();
    const { client } = await listen(broker);
    await client.publishAsync('orchard-valves/switch/hearts_valve/command', 'ON', { qos: 1, retain: true });
    const running = await bring(broker, specOf(scenarios['pot-spirit'], { tracers: false }), 20);
    await until('two site minutes', () => running.site.state.atS > 60);
    expect(running.site.drives.actuators.receivers['hearts-can']).toBe(0);
    await running.stop();
    const late = await listen(broker);
    const goodbyes = ['tele/orchard_probes/LWT', 'orchard-head/status', 'orchard-main-contactor/online'];
    await until('kept words', () => goodbyes.every((topic) => late.heard.some((one) => one.topic === topic)));
    const word = (topic: string) => late.heard.find((one) => one.topic === topic);
    expect(word('tele/orchard_probes/LWT')).toMatchObject({ payload: 'Offline', retain: true });
    expect(word('orchard-head/status')).toMatchObject({ payload: 'offline', retain: true });
    expect(word('orchard-main-contactor/online')).toMatchObject({ payload: 'false', retain: true });
  });
});

/** A broker in the same process would share its one thread with site and engine: too slow for fast time on a busy machine. */
describe.skipIf(!needs('mosquitto'))('simulated site, a whole run', () => {
  it('carries a whole run over the wire in vendor shapes, in under a minute', async () => {
    const speed = 100;
    const broker = await startReal();
    open.push({ remove: broker.remove });
    const { client, heard } = await listen(broker);
    // Less than half a charge, warm: some 4800 s of site time. Engine and site keep their own fast clocks; 100 ms of hiccup are 10 s.
    const spec = specOf(scenarios['pot-spirit'], { tracers: false, charge: { volumeL: 24, tempC: 77 } });
    const running = await bring(broker, spec, speed);
    const { events, stop } = superviseByMqtt(running, client, 'pot-spirit', speed);
    await until('cool-down', () => events.some((event) => event.kind === 'phase' && event.to === 'cool-down'), 120_000);
    stop();
    const phases = events.flatMap((event) => (event.kind === 'phase' ? [event.to] : []));
    expect(phases).toEqual(['heat-up', 'foreshots', 'heads', 'hearts', 'tails', 'finish', 'cool-down']);
    const { 'hearts-can': hearts, 'heads-jar': heads } = fractionsOf(running.site.state);
    expect(hearts!.volumeL).toBeGreaterThan(2.5);
    expect(hearts!.strengthAbv).toBeGreaterThan(0.7);
    expect(heads!.volumeL).toBeGreaterThan(0.1);
    const kept = heard.filter(
      (one) => one.topic.includes('/set') || one.topic.startsWith('cmnd/') || one.topic.endsWith('/command'),
    );
    expect(kept.length).toBeGreaterThan(10);
    expect(kept.every((one) => !one.retain)).toBe(true);
    expect(running.skippedS).toBeLessThan(60);
  }, 150_000);
});

describe('simulated site without a broker', () => {
  it('says so within ten seconds, by name, and leaves nothing running', async () => {
    const spec = specOf(scenarios['pot-spirit'], { tracers: false });
    await expect(startSite({ brokerUrl: 'mqtt://127.0.0.1:9', spec })).rejects.toThrow(/can't reach the broker/);
  }, 20_000);
});
