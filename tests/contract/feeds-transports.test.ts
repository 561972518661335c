import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Feed, feedSchema } from '../../daemon/config';
import { type FeedEvent, type FeedReading, openFeeds, transports } from '../../daemon/feeds';
import { fakeLink } from '../tools/fake-link';
import { freePort, until } from '../tools/mosquitto';
import { orchardStill } from '../tools/orchard';

let folder: string;
let port: number;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'middlecut-feeds-'));
  mkdirSync(join(folder, 'a-folder'));
  writeFileSync(join(folder, 'endless'), 'x'.repeat(200_000));
  port = await freePort();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** For each transport sources that are not there or cannot be read. A new transport is named here or this test fails. */
const deadSources: Record<string, () => unknown[]> = {
  mqtt: () => [{ topic: 'nobody/speaks' }],
  file: () => ['nowhere', 'a-folder', 'endless'].map((name) => ({ path: join(folder, name), everyS: 0.1 })),
  serial: () => [
    { path: join(folder, 'no-port'), format: 'key-value', field: 'T1' },
    { path: join(folder, 'endless'), format: 'json', field: 'a.b' },
  ],
  modbus: () => [
    { connection: { host: '127.0.0.1', port }, address: 0, everyS: 0.1 },
    { connection: { path: join(folder, 'no-port') }, address: 0, everyS: 0.1 },
  ],
};

describe('every transport', () => {
  for (const [name, transport] of Object.entries(transports)) {
    it(`${name} says what it carries, and is known to this test`, () => {
      expect(transport.what).not.toBe('');
      expect(deadSources[name], `add dead sources for ${name}`).toBeDefined();
    });

    it(`${name} survives sources that are not there, without a value, an error or an end`, async () => {
      for (const source of deadSources[name]?.() ?? []) {
        const feed: Feed = feedSchema.parse({ [name]: source });
        const heard: FeedReading[] = [];
        const events: FeedEvent[] = [];
        let stopped: unknown = null;
        const subscription = openFeeds({
          still: orchardStill(),
          feeds: { vapour: feed },
          link: fakeLink().link,
          report: (event) => events.push(event),
          backoff: { firstMs: 10, lastMs: 50 },
        }).subscribe({
          next: (reading) => heard.push(reading),
          error: (error) => {
            stopped = error;
          },
          complete: () => {
            stopped = 'complete';
          },
        });
        if (name === 'mqtt') await new Promise((resolve) => setTimeout(resolve, 50));
        else
          await until(
            `a fault of ${JSON.stringify(source)}`,
            () => heard.some((reading) => reading.fault !== undefined),
            10_000,
          );
        await new Promise((resolve) => setTimeout(resolve, 150));
        expect(stopped).toBeNull();
        for (const reading of heard) {
          expect(reading.value).toBeNull();
          expect(reading.point).toBe('vapour');
          expect(reading.fault).toMatch(/missing|offline|too-large/);
        }
        subscription.unsubscribe();
        const after = heard.length;
        await new Promise((resolve) => setTimeout(resolve, 150));
        expect(heard.length).toBe(after);
      }
    });
  }
});
