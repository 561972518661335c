import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createFrameGuard, type GuardOptions } from '../../daemon/link/frame-guard';

// Frames as MQTT 3.1.1 lays them out, sections 2.2 and 3.3.
function frame(first: number, body: Buffer): Buffer {
  const header = [first];
  let length = body.length;
  do {
    const low = length % 128;
    length = Math.floor(length / 128);
    header.push(length > 0 ? low | 0x80 : low);
  } while (length > 0);
  return Buffer.concat([Buffer.from(header), body]);
}
function publish(topic: string, bytes: number, qos: 0 | 1 | 2 = 0, id = 0x1234): Buffer {
  const name = Buffer.from(topic);
  const head = Buffer.concat([
    Buffer.from([name.length >> 8, name.length & 0xff]),
    name,
    qos > 0 ? Buffer.from([id >> 8, id & 0xff]) : Buffer.alloc(0),
  ]);
  return frame(0x30 | (qos << 1), Buffer.concat([head, Buffer.alloc(bytes, 0x78)]));
}
const skipping: GuardOptions = { maxFrameBytes: 100, oversize: 'skip' };

function feed(options: GuardOptions, chunks: readonly Buffer[]) {
  const guard = createFrameGuard(options);
  const results = chunks.map((chunk) => guard(chunk));
  return {
    pass: Buffer.concat(results.flatMap((one) => one.pass)),
    answers: Buffer.concat(results.flatMap((one) => one.answers)),
    skipped: results.flatMap((one) => one.skipped),
    broken: results.some((one) => one.broken),
  };
}

describe('frame guard', () => {
  it('lets everything of a proper size through unchanged', () => {
    const stream = Buffer.concat([
      frame(0x20, Buffer.from([0, 0])),
      publish('a/b', 90),
      frame(0xd0, Buffer.alloc(0)),
      publish('a', 3, 1),
    ]);
    expect(feed(skipping, [stream])).toEqual({ pass: stream, answers: Buffer.alloc(0), skipped: [], broken: false });
  });

  it('skips a large message and goes on with the next frame', () => {
    const small = publish('a', 3);
    const found = feed(skipping, [Buffer.concat([small, publish('probes/head', 300_000), small])]);
    expect(found.pass).toEqual(Buffer.concat([small, small]));
    expect(found.skipped).toEqual([{ topic: 'probes/head', bytes: 300_000 }]);
    expect(found.broken).toBe(false);
  });

  it('acknowledges a skipped message of QoS 1, or the broker would wait for ever', () => {
    expect(feed(skipping, [publish('a', 500, 1, 0x0b0c)]).answers).toEqual(Buffer.from([0x40, 2, 0x0b, 0x0c]));
  });

  it('closes what it may not skip', () => {
    expect(feed({ ...skipping, oversize: 'close' }, [publish('a', 500)]).broken).toBe(true);
    expect(feed(skipping, [frame(0x10, Buffer.alloc(500))]).broken).toBe(true);
    expect(feed(skipping, [publish('a', 500, 2)]).broken).toBe(true);
    expect(feed(skipping, [Buffer.from([0x30, 0xff, 0xff, 0xff, 0xff])]).broken).toBe(true);
    expect(
      feed(skipping, [Buffer.concat([Buffer.from([0x30, 0xff, 0x01, 0xff, 0xff]), Buffer.alloc(400)])]).broken,
    ).toBe(true);
  });

  it('comes to the same however the stream is cut', () => {
    const made = fc.oneof(
      fc.nat(90).map((bytes) => publish('s/t', bytes)),
      fc.integer({ min: 100, max: 900 }).map((bytes) => publish('large/topic', bytes, 1, bytes)),
      fc.integer({ min: 100, max: 900 }).map((bytes) => publish('large', bytes)),
      fc.constant(frame(0xd0, Buffer.alloc(0))),
    );
    fc.assert(
      fc.property(fc.array(made, { maxLength: 6 }), fc.array(fc.nat(400), { maxLength: 12 }), (frames, sizes) => {
        const stream = Buffer.concat(frames);
        const chunks: Buffer[] = [];
        let at = 0;
        for (const size of sizes) {
          chunks.push(stream.subarray(at, at + size));
          at += size;
        }
        chunks.push(stream.subarray(at));
        expect(feed(skipping, chunks)).toEqual(feed(skipping, [stream]));
      }),
      { numRuns: 2000 },
    );
  });

  it('survives any bytes, and passes none on that were not there', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ maxLength: 60 }), { maxLength: 8 }), (chunks) => {
        const buffers = chunks.map((chunk) => Buffer.from(chunk));
        const found = feed(skipping, buffers);
        expect(found.pass.length).toBeLessThanOrEqual(Buffer.concat(buffers).length);
      }),
      { numRuns: 3000 },
    );
  });
});
