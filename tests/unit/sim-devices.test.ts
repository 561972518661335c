import { describe, expect, it } from 'vitest';
import * as wire from '../../lib/wire';
import {
  checksumOf,
  esphomeNode,
  floatRegisters,
  lineOf,
  ownDrives,
  pulseTimeS,
  shellyRelay,
  tasmotaBarometer,
  tasmotaRelays,
  tasmotaThermometers,
  thermometerId,
} from '../../simulators/devices';
import { jsonOf, paperSite, reading } from './sim-paper-site';

/* Shapes as documented by the firmwares themselves: Tasmota (DS18x20, BME280, Commands, JSON-Status-Responses), ESPHome (components/mqtt), Shelly
   (Gen2 API, Notifications). */
describe('Tasmota shape', () => {
  it('several thermometers: numbered keys, addresses, unit at the root', () => {
    const { around } = paperSite();
    const { device } = tasmotaThermometers('still_probes', ['boiler-temp', 'product-temp']);
    device.tell([reading('boiler-temp', 84.25), reading('product-temp', 18.0625)], around());
    const [message] = device.pass(around());
    expect(message?.topic).toBe('tele/still_probes/SENSOR');
    expect(jsonOf(message)).toEqual({
      Time: '2026-03-14T10:22:31',
      'DS18B20-1': { Id: thermometerId('boiler-temp'), Temperature: 84.25 },
      'DS18B20-2': { Id: thermometerId('product-temp'), Temperature: 18.0625 },
      TempUnit: 'C',
    });
  });

  it('one thermometer has a plain key; a failed one is null, a lost one absent', () => {
    const { around, site } = paperSite();
    const { device } = tasmotaThermometers('p', ['boiler-temp', 'product-temp']);
    device.tell([reading('boiler-temp', null, 'null'), reading('product-temp', null, 'missing')], around());
    expect(jsonOf(device.pass(around())[0])).toMatchObject({ DS18B20: { Temperature: null } });
    expect(device.pass(around())).toEqual([]);
    site.nowS = 10;
    device.tell([reading('product-temp', 18)], around());
    expect(jsonOf(device.pass(around())[0])).toMatchObject({ DS18B20: { Id: thermometerId('product-temp') } });
  });

  it('barometer beside humidity and room', () => {
    const { around } = paperSite();
    const { device } = tasmotaBarometer('room', 'air-pressure');
    device.tell([reading('air-pressure', 962.4)], around());
    expect(jsonOf(device.pass(around())[0])).toMatchObject({ BME280: { Pressure: 962.4 }, PressureUnit: 'hPa' });
  });

  it('relays: POWER alone, POWER1 and POWER2 together, result and plain word', () => {
    const { around, states } = paperSite();
    const one = tasmotaRelays('box', ['coolant'], {}).device;
    expect(one.hear('cmnd/box/POWER', 'ON', around())).toEqual([
      { topic: 'stat/box/RESULT', payload: '{"POWER":"ON"}' },
      { topic: 'stat/box/POWER', payload: 'ON' },
    ]);
    const two = tasmotaRelays('box', ['coolant', 'main-contactor'], {}).device;
    expect(two.hear('cmnd/box/POWER2', 'toggle', around())[1]).toEqual({ topic: 'stat/box/POWER2', payload: 'ON' });
    expect(states['main-contactor']).toBe(1);
    expect(two.hear('cmnd/box/POWER1', '', around())[0]?.payload).toBe('{"POWER1":"ON"}');
    expect(two.hear('cmnd/box/POWER7', 'ON', around())).toEqual([]);
    expect(two.hear('cmnd/box/Restart', '1', around())).toEqual([]);
  });

  it('PulseTime: tenths to 111, then seconds and a hundred; switching on again starts it anew', () => {
    expect(pulseTimeS(130)).toBe(30);
    expect(pulseTimeS(50)).toBe(5);
    expect(pulseTimeS(0)).toBeNull();
    expect(pulseTimeS(Number('x'))).toBeNull();
    const { around, states, site } = paperSite();
    const { device, wiring } = tasmotaRelays('box', ['heat'], { heat: 30 });
    expect(wiring.drives.heat).toMatchObject({ mqtt: { setup: [{ topic: 'cmnd/box/PulseTime1', payload: '130' }] } });
    device.hear('cmnd/box/PulseTime1', '130', around());
    device.hear('cmnd/box/POWER', 'ON', around());
    site.nowS = 25;
    device.pass(around());
    device.hear('cmnd/box/POWER', 'ON', around());
    site.nowS = 50;
    device.pass(around());
    expect(states.heat).toBe(1);
    site.nowS = 55;
    expect(device.pass(around()).map((message) => message.payload)).toContain('OFF');
    expect(states.heat).toBe(0);
  });
});

describe('ESPHome shape', () => {
  const parts = { sensors: ['vapour-temp', 'boiler-level'], switches: [], reports: {}, selects: {} };

  it('plain numbers, retained, per cent where the sensor counts so', () => {
    const { around } = paperSite();
    const { device } = esphomeNode('still-head', parts, (point) => point === 'boiler-level');
    expect(device.tell([reading('vapour-temp', 78.375), reading('boiler-level', 0.905)], around())).toEqual([
      { topic: 'still-head/sensor/vapour_temp/state', payload: '78.375', retain: true },
      { topic: 'still-head/sensor/boiler_level/state', payload: '90.5', retain: true },
    ]);
    expect(device.birth(around())[0]).toEqual({ topic: 'still-head/status', payload: 'online', retain: true });
    expect(device.will).toEqual({ topic: 'still-head/status', payload: 'offline', retain: true });
  });

  it('says nan for a failed sensor', () => {
    const { around } = paperSite();
    const { device } = esphomeNode('n', parts, () => false);
    expect(device.tell([reading('vapour-temp', null, 'not-a-number')], around())[0]?.payload).toBe('nan');
    expect(device.tell([reading('vapour-temp', null, 'empty')], around())[0]?.payload).toBe('');
    expect(device.tell([reading('vapour-temp', null, 'missing')], around())).toEqual([]);
  });

  it('valves: command topic, state of the switch, end switch as a sensor of its own', () => {
    const { around, states } = paperSite();
    const wired = esphomeNode(
      'still-valves',
      { sensors: [], switches: ['hearts-valve'], reports: { 'hearts-valve-state': 'hearts-valve' }, selects: {} },
      () => false,
    );
    const { device } = wired;
    device.birth(around());
    device.hear('still-valves/switch/hearts_valve/command', 'ON', around());
    expect(states['hearts-valve']).toBe(1);
    expect(device.pass(around())).toEqual([
      { topic: 'still-valves/switch/hearts_valve/state', payload: 'ON', retain: true },
    ]);
    expect(device.pass(around())).toEqual([]);
    expect(device.tell([reading('hearts-valve-state', 0)], around())[0]).toMatchObject({
      topic: 'still-valves/binary_sensor/hearts_valve_state/state',
      payload: 'OFF',
    });
    device.hear('still-valves/switch/hearts_valve/command', 'perhaps', around());
    expect(states['hearts-valve']).toBe(1);
  });
});

describe('Shelly shape', () => {
  const call = (params: object, method = 'Switch.Set') => JSON.stringify({ id: 41, src: 'edge/cmd', method, params });

  it('Switch.Set answers on the asker’s topic, and its status tells the power', () => {
    const { around, states } = paperSite();
    const { device } = shellyRelay('shelly1', 'main-contactor', null, undefined);
    const [reply] = device.hear('shelly1/rpc', call({ id: 0, on: true }), around());
    expect(reply?.topic).toBe('edge/cmd/rpc');
    expect(jsonOf(reply)).toEqual({ id: 41, src: 'shelly1', dst: 'edge/cmd', result: { was_on: false } });
    expect(states['main-contactor']).toBe(1);
    const [notify, status] = device.pass(around());
    expect(notify?.topic).toBe('shelly1/events/rpc');
    expect(jsonOf(notify)).toMatchObject({ method: 'NotifyStatus', params: { 'switch:0': { output: true } } });
    expect(status?.topic).toBe('shelly1/status/switch:0');
    expect(jsonOf(status)).toMatchObject({ output: true, apower: 5000 });
  });

  it('toggle_after switches off by itself and says that its timer did', () => {
    const { around, states, site } = paperSite();
    const { device } = shellyRelay('s', 'heat', null, 30);
    device.hear('s/rpc', call({ id: 0, on: true, toggle_after: 30 }), around());
    device.pass(around());
    site.nowS = 29;
    device.pass(around());
    expect(states.heat).toBe(1);
    site.nowS = 30;
    const [notify] = device.pass(around());
    expect(states.heat).toBe(0);
    expect(jsonOf(notify)).toMatchObject({ params: { 'switch:0': { output: false, source: 'timer' } } });
  });

  it('refuses what it does not know and never falls over', () => {
    const { around, commands } = paperSite();
    const { device } = shellyRelay('s', 'heat', null, 30);
    expect(jsonOf(device.hear('s/rpc', call({ id: 7, on: true }), around())[0])).toMatchObject({
      error: { code: -105 },
    });
    expect(jsonOf(device.hear('s/rpc', call({ id: 0, on: 'yes' }), around())[0])).toMatchObject({
      error: { code: -103 },
    });
    expect(jsonOf(device.hear('s/rpc', call({}, 'Cover.Open'), around())[0])).toMatchObject({ error: { code: 404 } });
    for (const bad of ['', 'null', '[]', '{"id":1}', '{{{', '"x"'])
      expect(device.hear('s/rpc', bad, around())).toEqual([]);
    expect(commands).toEqual([]);
  });
});

describe('own shape', () => {
  const command = (value: unknown, issuedAt: string, ttlS = 10) =>
    JSON.stringify({ id: 'c7', value, issuedAt, ttlS, reason: 'because' });
  const topic = wire.topicsOf('orchard').driveSet('heat');

  it('takes a share, tells it back with the id, and lets go after its dead-man', () => {
    const { around, states, site } = paperSite();
    const { device } = ownDrives('power', 'orchard', ['heat'], { heat: 30 });
    const [told] = device.hear(topic, command(0.6, '2026-03-14T10:22:30Z'), around());
    expect(told?.topic).toBe(wire.topicsOf('orchard').driveState('heat'));
    expect(jsonOf(told)).toEqual({ state: 0.6, id: 'c7' });
    site.nowS = 30;
    device.pass(around());
    expect(states.heat).toBe(0.6);
    site.nowS = 31;
    device.pass(around());
    expect(states.heat).toBe(0);
  });

  it('refuses a command past its time to live, counted in site seconds', () => {
    const { around, commands, site } = paperSite();
    const { device } = ownDrives('power', 'orchard', ['heat'], {});
    device.hear(topic, command(1, '2026-03-14T10:22:20Z'), around());
    expect(commands).toEqual([]);
    site.speed = 240;
    device.hear(topic, command(1, '2026-03-14T10:22:30.9Z'), around());
    expect(commands).toEqual([]);
    device.hear(topic, command(1, '2026-03-14T10:22:30.98Z'), around());
    expect(commands.length).toBe(1);
    for (const bad of ['', '{}', 'ON', '{"id":"c1","value":null}']) device.hear(topic, bad, around());
    expect(commands.length).toBe(1);
  });
});

describe('serial lines and Modbus registers', () => {
  const latest = new Map([
    ['boiler-temp', reading('boiler-temp', 92.31)],
    ['vapour-temp', reading('vapour-temp', 78.38)],
  ]);
  const points = ['boiler-temp', 'vapour-temp', 'product-temp'];

  it('writes the four forms of line; a probe that is gone is −127', () => {
    expect(lineOf('key-value', points, latest, 0)).toBe('boiler-temp=92.31;vapour-temp=78.38;product-temp=-127.00\r\n');
    expect(lineOf('csv', points, latest, 184223)).toBe('184223,92.31,78.38,-127.00\r\n');
    expect(JSON.parse(lineOf('json', points, latest, 5))).toEqual({
      ms: 5,
      'boiler-temp': 92.31,
      'vapour-temp': 78.38,
      'product-temp': null,
    });
    expect(lineOf('checksummed', points, latest, 0)).toBe(
      `$STL,92.31,78.38,-127.00*${checksumOf('STL,92.31,78.38,-127.00')}\r\n`,
    );
    expect(checksumOf('STL,92.31,78.38,31.50')).toBe('43');
  });

  it('puts a number into two registers, high word first', () => {
    expect(floatRegisters(78.38)).toEqual([17052, 49807]);
  });
});
