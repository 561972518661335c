import { mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { feedSchema } from '../../daemon/config';
import { type FeedEvent, type FeedReading, openFeeds } from '../../daemon/feeds';
import { fakeLink } from '../tools/fake-link';
import { until } from '../tools/mosquitto';
import { orchardStill } from '../tools/orchard';

let folder: string;
const cleanUp: (() => void)[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'middlecut-file-'));
});
afterEach(() => {
  for (const clean of cleanUp.splice(0)) clean();
  rmSync(folder, { recursive: true, force: true });
});

function listen(file: object) {
  const heard: FeedReading[] = [];
  const events: FeedEvent[] = [];
  const subscription = openFeeds({
    still: orchardStill(),
    feeds: { vapour: feedSchema.parse({ file: { everyS: 0.1, ...file } }) },
    link: fakeLink().link,
    report: (event) => events.push(event),
  }).subscribe((reading) => heard.push(reading));
  cleanUp.push(() => subscription.unsubscribe());
  const last = () => heard.at(-1)?.fault ?? heard.at(-1)?.value;
  return { heard, events, last };
}

const warm = 'e6 04 4b 46 7f ff 0a 10 76 : crc=76 YES\ne6 04 4b 46 7f ff 0a 10 76 t=78375\n';
const powerOn = '50 05 4b 46 7f ff 0c 10 1c : crc=1c YES\n50 05 4b 46 7f ff 0c 10 1c t=85000\n';

describe('file feed', () => {
  it('reads a 1-Wire thermometer again and again, and knows its power-on value', async () => {
    const path = join(folder, 'w1_slave');
    writeFileSync(path, warm);
    const { last } = listen({ path });
    await until('a reading', () => last() === 78.375);
    writeFileSync(join(folder, 'next'), powerOn);
    renameSync(join(folder, 'next'), path);
    await until('the power-on value', () => last() === 'sentinel');
  });

  it('is missing while the probe is, says so once, and comes back', async () => {
    const path = join(folder, 'w1_slave');
    const { heard, events, last } = listen({ path });
    await until('several looks', () => heard.length >= 3);
    expect(last()).toBe('missing');
    writeFileSync(path, warm);
    await until('back', () => last() === 78.375);
    expect(events.map((event) => event.kind)).toEqual(['trouble', 'restored']);
  });

  it('reads plain numbers and members of JSON with their unit', async () => {
    const plain = join(folder, 'plain');
    writeFileSync(plain, '172.4\n');
    const first = listen({ path: plain, format: 'plain', unit: 'F' });
    await until('a number', () => first.heard.length > 0);
    expect(first.last()).toBeCloseTo(78, 9);
    const json = join(folder, 'json');
    writeFileSync(json, '{"head":{"t":78.2,"u":"C"}}');
    const second = listen({ path: json, format: 'plain', member: 'head.t', unitPath: 'head.u' });
    await until('a member', () => second.heard.length > 0);
    expect(second.last()).toBe(78.2);
  });
});
