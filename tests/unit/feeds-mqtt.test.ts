import fc from 'fast-check';
import { Subject } from 'rxjs';
import { describe, expect, it } from 'vitest';
import { type Feed, feedSchema } from '../../daemon/config';
import { type FeedEvent, type FeedReading, openFeeds } from '../../daemon/feeds';
import { bounded } from '../../daemon/feeds/bounded';
import { fakeLink } from '../tools/fake-link';
import { orchardStill } from '../tools/orchard';

function open(feeds: Record<string, unknown>, more: object = {}) {
  const fake = fakeLink();
  const events: FeedEvent[] = [];
  const heard: FeedReading[] = [];
  const parsed = Object.fromEntries(
    Object.entries(feeds).map(([point, feed]) => [point, feedSchema.parse(feed)]),
  ) as Record<string, Feed>;
  const subscription = openFeeds({
    still: orchardStill(),
    feeds: parsed,
    link: fake.link,
    report: (event) => events.push(event),
    ...more,
  }).subscribe((reading) => heard.push(reading));
  const last = () => {
    const { point, value, fault } = heard.at(-1) ?? { point: '', value: null };
    return fault === undefined ? [point, value] : [point, fault];
  };
  return { fake, events, heard, last, subscription };
}

describe('mqtt feed', () => {
  it('makes readings of messages, several points of one topic', () => {
    const { fake, heard } = open({
      vapour: { mqtt: { topic: 'tele/probe/SENSOR', path: "DS18B20*[Id='B'].Temperature", unitPath: 'TempUnit' } },
      boiler: { mqtt: { topic: 'tele/probe/SENSOR', path: "DS18B20*[Id='A'].Temperature", unitPath: 'TempUnit' } },
    });
    fake.say(
      'tele/probe/SENSOR',
      '{"DS18B20-1":{"Id":"A","Temperature":92.3},"DS18B20-2":{"Id":"B","Temperature":78.3},"TempUnit":"C"}',
    );
    expect(heard.map(({ point, value }) => [point, value])).toEqual([
      ['vapour', 78.3],
      ['boiler', 92.3],
    ]);
    fake.say('tele/probe/SENSOR', '{"DS18B20":{"Id":"B","Temperature":78.4},"TempUnit":"C"}');
    expect(heard.slice(2).map(({ point, value, fault }) => [point, value, fault])).toEqual([
      ['vapour', 78.4, undefined],
      ['boiler', null, 'missing'],
    ]);
  });

  it('tells a message that was too large to be taken', () => {
    const { fake, last } = open({ vapour: { mqtt: { topic: 't' } } });
    fake.say('t', null);
    expect(last()).toEqual(['vapour', 'too-large']);
  });

  it('takes the device for gone when its last will says so', () => {
    const { fake, heard, last } = open({
      vapour: { mqtt: { topic: 't', retained: 'accept', availability: 'probe/LWT' } },
    });
    fake.say('probe/LWT', 'Online', true);
    fake.say('t', '78.1', true);
    expect(last()).toEqual(['vapour', 78.1]);
    fake.say('probe/LWT', 'Offline');
    expect(last()).toEqual(['vapour', 'offline']);
    fake.say('t', '78.1', true);
    expect(last()).toEqual(['vapour', 'offline']);
    fake.say('t', '78.2');
    expect(last()).toEqual(['vapour', 78.2]);
    fake.say('probe/LWT', 'garbage');
    expect(heard.length).toBe(4);
  });

  it("knows the device's own words and places for being gone", () => {
    const availability = { topic: 'a', path: 'net.up', online: 'JA', offline: 'NEIN' };
    const { fake, last } = open({ vapour: { mqtt: { topic: 't', availability } } });
    fake.say('a', '{"net":{"up":"NEIN"}}');
    expect(last()).toEqual(['vapour', 'offline']);
  });

  it('drops what comes faster than anybody could use, says so once while it lasts, and recovers', () => {
    const { fake, heard, events } = open({ vapour: { mqtt: { topic: 't' } } }, { maxPerS: 10 });
    for (let i = 0; i < 5000; i += 1) fake.say('t', '78');
    expect(heard.length).toBeLessThan(100);
    expect(events).toEqual([{ kind: 'flooding', source: 'vapour', maxPerS: 10 }]);
  });

  it('listens no longer once nobody wants its readings', () => {
    const { fake, subscription } = open({ vapour: { mqtt: { topic: 't', availability: 'a' } } });
    expect([...fake.listening()].sort()).toEqual(['a', 't']);
    subscription.unsubscribe();
    expect(fake.listening()).toEqual([]);
  });

  it('turns any payload at all into a finite value, a fault, or nothing', () => {
    const { fake, heard, subscription } = open(
      {
        vapour: { mqtt: { topic: 't', path: "a*[Id='x'].t", unitPath: 'u', availability: 'a' } },
        heating: { mqtt: { topic: 's' } },
        air: { mqtt: { topic: 'p', unit: 'mmHg' } },
      },
      { maxPerS: 1e9 },
    );
    const payload = fc.oneof(
      fc.json(),
      fc.string({ unit: 'binary' }),
      fc.uint8Array().map((bytes) => Buffer.from(bytes)),
      fc.double().map(String),
    );
    fc.assert(
      fc.property(fc.constantFrom('t', 's', 'p', 'a'), payload, fc.boolean(), (topic, sent, retained) => {
        fake.say(topic, sent, retained);
        const reading = heard.at(-1);
        if (reading !== undefined && reading.value !== null) expect(Number.isFinite(reading.value)).toBe(true);
        heard.length = 0;
        expect(subscription.closed).toBe(false);
      }),
      { numRuns: 10_000 },
    );
  });
});

describe('bound of a feed', () => {
  it('lets a second worth through each second, after the reserve', () => {
    const source = new Subject<FeedReading>();
    const through: number[] = [];
    let floods = 0;
    source.pipe(bounded(10, 20, () => (floods += 1))).subscribe((reading) => through.push(reading.arrivalMs));
    for (let ms = 0; ms < 10_000; ms += 1) source.next({ point: 'a', value: 1, arrivalMs: ms });
    expect(through.length).toBeGreaterThan(110);
    expect(through.length).toBeLessThan(125);
    expect(floods).toBe(1);
    for (let ms = 60_000; ms < 61_000; ms += 100) source.next({ point: 'a', value: 1, arrivalMs: ms });
    expect(through.filter((ms) => ms >= 60_000).length).toBe(10);
    expect(floods).toBe(1);
  });

  it('says every ten seconds that it goes on', () => {
    const source = new Subject<FeedReading>();
    let floods = 0;
    source.pipe(bounded(10, 20, () => (floods += 1))).subscribe();
    for (let ms = 0; ms < 60_000; ms += 5) source.next({ point: 'a', value: 1, arrivalMs: ms });
    expect(floods).toBe(6);
  });
});
