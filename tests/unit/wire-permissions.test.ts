import { describe, expect, it } from 'vitest';
import { mayPublish, mayRetain, maySubscribe } from '../../daemon/broker/permissions';
import { createRetainedBound } from '../../daemon/broker/retained-store';
import { type LoadedUser, type Role, secretOf } from '../../daemon/config';

function user(role: Role, more: Partial<LoadedUser> = {}): LoadedUser {
  return { name: 'ada', password: secretOf('x'), role, publish: null, subscribe: null, ...more };
}

describe('permissions', () => {
  it('let a reader hear all and say nothing', () => {
    for (const filter of ['#', 'middlecut/#', 'middlecut/orchard/state', 'probes/head'])
      expect(maySubscribe(user('reader'), filter), filter).toBe(true);
    for (const topic of ['middlecut/orchard/order', 'cmnd/box/POWER1', 'x'])
      expect(mayPublish(user('reader'), topic), topic).toBe(false);
  });

  it('let an operator give orders and touch no drive', () => {
    expect(mayPublish(user('operator'), 'middlecut/orchard/order')).toBe(true);
    for (const topic of [
      'middlecut/orchard/drive/heater/set',
      'middlecut/orchard/order/answer',
      'middlecut/orchard/state',
      'cmnd/box/POWER1',
    ]) {
      expect(mayPublish(user('operator'), topic), topic).toBe(false);
    }
  });

  it('let a device report and obey, but neither order nor speak for us', () => {
    const device = user('device');
    for (const topic of ['probes/head', 'middlecut/orchard/drive/heater/state'])
      expect(mayPublish(device, topic), topic).toBe(true);
    for (const topic of [
      'middlecut/orchard/order',
      'middlecut/orchard/drive/heater/set',
      'middlecut/orchard/online',
      'middlecut',
    ]) {
      expect(mayPublish(device, topic), topic).toBe(false);
    }
    for (const filter of ['cmnd/box/#', 'middlecut/orchard/drive/heater/set', 'middlecut/+/drive/+/set'])
      expect(maySubscribe(device, filter), filter).toBe(true);
    for (const filter of ['#', '+/orchard/event', 'middlecut/#', 'middlecut/orchard/event'])
      expect(maySubscribe(device, filter), filter).toBe(false);
  });

  it('follow the topics of a user, where they are given, and nothing else', () => {
    const own = user('device', { publish: ['tele/+/SENSOR'], subscribe: ['cmnd/box/#'] });
    expect(mayPublish(own, 'tele/a/SENSOR')).toBe(true);
    expect(mayPublish(own, 'probes/head')).toBe(false);
    expect(maySubscribe(own, 'cmnd/box/POWER1')).toBe(true);
    expect(maySubscribe(own, 'cmnd/#')).toBe(false);
  });

  it("give nobody the broker's own topics", () => {
    for (const role of ['reader', 'operator', 'device'] as const) {
      expect(mayPublish(user(role), '$SYS/x')).toBe(false);
      expect(maySubscribe(user(role), '$SYS/#')).toBe(false);
      expect(maySubscribe(user(role), '$share/g/middlecut/#')).toBe(false);
    }
  });

  it('keep no command, order or event, whoever sends it', () => {
    expect(mayRetain('middlecut/orchard/drive/heater/set')).toBe(false);
    expect(mayRetain('middlecut/orchard/order')).toBe(false);
    expect(mayRetain('middlecut/orchard/event')).toBe(false);
    expect(mayRetain('middlecut/orchard/phase')).toBe(true);
    expect(mayRetain('tele/box/LWT')).toBe(true);
  });
});

describe('what a broker keeps', () => {
  it('is bounded in topics and bytes, and freed by an empty message', () => {
    const bound = createRetainedBound(2, 100);
    expect(bound.admit('a', 10)).toBe(true);
    expect(bound.admit('b', 10)).toBe(true);
    expect(bound.admit('c', 10)).toBe(false);
    expect(bound.admit('a', 95)).toBe(false);
    expect(bound.admit('b', 0)).toBe(true);
    expect(bound.admit('c', 80)).toBe(true);
    expect(bound.admit('a', 20)).toBe(false);
  });
});
