import { describe, expect, it } from 'vitest';
import { type Drive, driveSchema } from '../../lib/still/schema';
import { checkDriveMapping, driveMappingSchema, parseCommand, payloadOfCommand } from '../../lib/wire';

const heater = driveSchema.parse({ kind: 'heat', ratedW: 5000, deadManS: 30 });
const relay = driveSchema.parse({ kind: 'heat', ratedW: 5000, control: 'on-off', deadManS: 30 });
const arm = driveSchema.parse({ kind: 'diverter', positions: ['heads', 'hearts'] });

function say(mapping: object, drive: Drive, value: number | string, repeat = false): string {
  const parsed = driveMappingSchema.parse(mapping);
  const checked = checkDriveMapping(parsed, drive);
  if (checked.kind === 'bad') throw new Error(JSON.stringify(checked.problems));
  const message = { id: 'c7', value, issuedAt: '2026-03-14T10:22:31.000Z', ttlS: 10, reason: 'it is "time"' };
  return payloadOfCommand(parsed, drive, message, repeat);
}

describe('a command on the wire', () => {
  it('in our own form carries id, time, time to live and reason', () => {
    expect(parseCommand(say({}, heater, 0.5))).toEqual({
      id: 'c7',
      value: 0.5,
      issuedAt: '2026-03-14T10:22:31.000Z',
      ttlS: 10,
      reason: 'it is "time"',
    });
    expect(parseCommand(say({}, arm, 'hearts'))?.value).toBe('hearts');
  });

  it('is a plain word where the device wants one', () => {
    expect(say({ topic: 't', on: 'ON', off: 'OFF' }, relay, 1)).toBe('ON');
    expect(say({ topic: 't', on: 'ON', off: 'OFF' }, relay, 0)).toBe('OFF');
    expect(say({ topic: 't', positions: { heads: '0', hearts: '1' } }, arm, 'hearts')).toBe('1');
  });

  it('fills objects and keeps the types', () => {
    const set = (on: boolean, more: object) => ({
      id: '{id}',
      src: 'middlecut',
      method: 'Switch.Set',
      params: { id: 0, on, ...more },
    });
    const mapping = { topic: 't', on: set(true, { toggle_after: '{deadManS}' }), off: set(false, {}) };
    expect(JSON.parse(say(mapping, relay, 1))).toEqual({
      id: 'c7',
      src: 'middlecut',
      method: 'Switch.Set',
      params: { id: 0, on: true, toggle_after: 30 },
    });
    expect(JSON.parse(say(mapping, relay, 0))).toEqual({
      id: 'c7',
      src: 'middlecut',
      method: 'Switch.Set',
      params: { id: 0, on: false },
    });
    expect(
      JSON.parse(say({ topic: 't', template: { power: '{on}', list: ['{value}', 'v{value}'] } }, relay, 1)),
    ).toEqual({ power: true, list: [1, 'v1'] });
  });

  it('warns of a flip-back time that is sent with off as well', () => {
    const warned = (mapping: object) => {
      const checked = checkDriveMapping(driveMappingSchema.parse(mapping), relay);
      return checked.kind === 'ok' ? checked.warnings.map((p) => p.path) : ['bad'];
    };
    expect(warned({ topic: 't', template: { on: '{on}', toggle_after: '{deadManS}' } })).toEqual(['template']);
    expect(warned({ topic: 't', on: 'on', off: 'off,{deadManS}' })).toEqual(['off']);
    expect(warned({ topic: 't', on: 'on,{deadManS}', off: 'off' })).toEqual([]);
  });

  it('fills a text template; a quote in a reason ends no string', () => {
    expect(say({ topic: 't', template: '{value}', scale: 255, decimals: 0 }, heater, 0.5)).toBe('128');
    expect(say({ topic: 't', template: '{percent}' }, heater, 0.333)).toBe('33.3');
    const text = say({ topic: 't', template: '{"level":{value},"why":"{reason}"}' }, heater, 0.25);
    expect(JSON.parse(text)).toEqual({ level: 0.25, why: 'it is "time"' });
  });

  it('repeats in another form only while on: a repeated off is never an on', () => {
    const mapping = { topic: 't', on: 'ON', off: 'OFF', repeat: 'KEEP' };
    expect(say(mapping, relay, 1, true)).toBe('KEEP');
    expect(say(mapping, relay, 1)).toBe('ON');
    expect(say(mapping, relay, 0, true)).toBe('OFF');
  });

  it('is refused where the mapping cannot carry it', () => {
    const bad = (mapping: object, drive: Drive) => {
      const checked = checkDriveMapping(driveMappingSchema.parse(mapping), drive);
      return checked.kind === 'bad' ? checked.problems.map((p) => p.path) : [];
    };
    expect(bad({ topic: 't', positions: { heads: '0', wash: '2' } }, arm)).toEqual([
      'positions.hearts',
      'positions.wash',
    ]);
    expect(bad({ topic: 't', on: 'ON', off: 'OFF' }, heater)).toEqual(['template']);
    expect(bad({ topic: 't', positions: { a: '1' } }, relay)).toEqual(['positions']);
    expect(
      bad({ topic: 't', template: '{on} {deadManS}' }, { ...relay, deadManS: undefined } as unknown as Drive),
    ).toEqual(['']);
  });

  it('has no form that could be kept or sent to many', () => {
    expect(driveMappingSchema.safeParse({ topic: 'a/+' }).success).toBe(false);
    expect(driveMappingSchema.safeParse({ topic: 'a', retain: true }).success).toBe(false);
  });
});
