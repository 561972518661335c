import { describe, expect, it } from 'vitest';
import { feedSchema } from '../../daemon/config/feeds-schema';
import type { DriveValue } from '../../lib/engine/types';
import * as wire from '../../lib/wire';
import { checkDriveMapping, compileMapping, driveMappingSchema, filterMatches, readPayload } from '../../lib/wire';
import { type Device, layoutOf, wiringOf } from '../../simulators/devices';
import { good } from '../tools/plants';
import { column, paperSite, pot, reading } from './sim-paper-site';

describe.each([
  ['pot', pot],
  ['column', column],
] as const)('layout of the %s', (_name, spec) => {
  const devices = layoutOf(spec);
  const wiring = wiringOf(devices);

  it('gives every point and every drive a place, and every device another name', () => {
    expect(Object.keys(wiring.feeds).sort()).toEqual(Object.keys(spec.still.points).sort());
    expect(Object.keys(wiring.drives).sort()).toEqual(Object.keys(spec.still.drives).sort());
    expect(new Set(devices.map(({ device }) => device.name)).size).toBe(devices.length);
  });

  it('is wired in a way a daemon accepts', () => {
    for (const [point, feed] of Object.entries(wiring.feeds)) {
      expect(feedSchema.safeParse(feed), point).toMatchObject({ success: true });
    }
    for (const [id, drive] of Object.entries(wiring.drives)) {
      const mapping = driveMappingSchema.parse((drive as { mqtt: unknown }).mqtt);
      expect(checkDriveMapping(mapping, spec.still.drives[id]!), id).toMatchObject({ kind: 'ok' });
    }
  });

  it('its messages, read as wired, give back the readings', () => {
    const { around, latest } = paperSite(spec);
    const readings = Object.entries(spec.still.points).map(([point, { kind }], index) =>
      reading(point, kind === 'drive-state' ? 1 : kind === 'boiler-level' || kind === 'vapour-gas' ? 0.25 : 60 + index),
    );
    for (const one of readings) latest.set(one.point, one);
    const sent = devices.flatMap(({ device }) => [
      ...device.birth(around()),
      ...device.tell(readings, around()),
      ...device.pass(around()),
    ]);
    for (const one of readings) {
      const { mqtt } = feedSchema.parse(wiring.feeds[one.point]) as {
        mqtt: Parameters<typeof compileMapping>[0] & { topic: string };
      };
      const { topic, ...rest } = mqtt;
      const mapping = good(compileMapping(rest, spec.still.points[one.point]!.kind));
      const messages = sent.filter((message) => message.topic === topic);
      expect(messages.length, one.point).toBeGreaterThan(0);
      const read = readPayload(messages.at(-1)!.payload, mapping, { retained: false });
      expect(read, one.point).toEqual({ kind: 'value', value: one.value });
    }
  });

  it('hears every command as wired', () => {
    for (const [id, drive] of Object.entries(spec.still.drives)) {
      const { around, states, site } = paperSite(spec);
      const mapping = driveMappingSchema.parse((wiring.drives[id] as { mqtt: unknown }).mqtt);
      const value: DriveValue = drive.kind === 'diverter' ? drive.positions[2]! : 1;
      const topic = mapping.topic ?? wire.topicsOf(spec.still.id).driveSet(id);
      const issuedAt = new Date(site.wallMs).toISOString();
      const payload = wire.payloadOfCommand(
        mapping,
        drive,
        { id: 'c1', value, issuedAt, ttlS: 10, reason: 'x' },
        false,
      );
      const listening: Device[] = devices
        .map(({ device }) => device)
        .filter((device) => device.hears.some((filter) => filterMatches(filter, topic)));
      expect(listening.length, id).toBe(1);
      listening[0]!.hear(topic, payload, around());
      expect(states[id], id).toBe(drive.kind === 'diverter' ? 2 : 1);
    }
  });
});
