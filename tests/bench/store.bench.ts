import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { resolve } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { deflateRawSync, inflateRawSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { openJournal, valueOrThrow } from '../../daemon/store';
import type { Input } from '../../lib';
import * as source from '../../lib/record';
import { decided, header, nothing } from '../tools/store-samples';
import { stillroomInputs } from './stillroom';

// The built package where there is one: the test runner's own loading makes calls between modules slower.
const built = resolve(__dirname, '../../dist/lib/record/index.js');
const record: typeof source = existsSync(built) ? createRequire(__filename)(built) : source;
const { decodeInputs, encodeInputs } = record;
const { decodeInputs: decodeSource } = source;

/** Ten minutes of five points a second on a millisecond clock, scan by scan: about 3000 readings. */
const minutes: Input[][] = [];
for (const input of stillroomInputs(600, 7, { clockS: 0.001, together: false })) {
  const minute = Math.floor(input.now / 60);
  minutes[minute] = [...(minutes[minute] ?? []), input];
}
const inputs = minutes.flat();
const readings = inputs.reduce((sum, input) => sum + input.readings.length, 0);
const chunks = minutes.map((minute) => new Uint8Array(deflateRawSync(encodeInputs(minute), { level: 9 })));
const lines = minutes.map((minute) => minute.map((input) => JSON.stringify(input)).join('\n'));
const deflatedLines = lines.map((text) => new Uint8Array(deflateRawSync(Buffer.from(text), { level: 9 })));

/** A peer: a row for each reading in SQLite (in memory), as a recorder usually keeps them. */
const rows = new DatabaseSync(':memory:');
rows.exec('CREATE TABLE readings (run INTEGER, scan INTEGER, point INTEGER, at_s REAL, value REAL)');
const insert = rows.prepare('INSERT INTO readings VALUES (1, ?, ?, ?, ?)');
const points = new Map<string, number>();

function writeRows(): void {
  rows.exec('DELETE FROM readings; BEGIN');
  for (const [scan, input] of inputs.entries()) {
    for (const { point, atS, value } of input.readings) {
      if (!points.has(point)) points.set(point, points.size);
      insert.run(scan, points.get(point) ?? 0, atS, value);
    }
  }
  rows.exec('COMMIT');
}

const perReading = (parts: readonly (Uint8Array | string)[]): number =>
  parts.reduce((sum, part) => sum + part.length, 0) / readings;

test('a reading takes a small part of the room that its peers take', () => {
  writeRows();
  const pages = rows.prepare("SELECT sum(pgsize) AS bytes FROM dbstat WHERE name = 'readings'").get();
  const sizes = {
    chunks: perReading(chunks),
    'rows in SQLite': Number(pages?.bytes) / readings,
    'JSON lines': perReading(lines),
    'JSON lines, deflated': perReading(deflatedLines),
  };
  const shown = Object.entries(sizes).map(
    ([name, bytes]) => `${name} ${bytes.toFixed(2)} (×${(bytes / sizes.chunks).toFixed(1)})`,
  );
  process.stdout.write(`\nbytes a reading, of ${readings}: ${shown.join(', ')}\n`);
  expect(sizes.chunks).toBeLessThan(2.5);
  expect(sizes['rows in SQLite'] / sizes.chunks).toBeGreaterThan(10);
  expect(chunks.flatMap((chunk) => decodeSource(inflateRawSync(chunk)))).toEqual(inputs);
});

test('readings a second, written and read, against the peers', async ({ bench }) => {
  const writing = {
    'chunks, deflated': () => minutes.map((minute) => deflateRawSync(encodeInputs(minute), { level: 9 })),
    'rows in SQLite': writeRows,
    'JSON lines, deflated': () =>
      minutes.map((minute) => deflateRawSync(minute.map((input) => JSON.stringify(input)).join('\n'), { level: 9 })),
  };
  const reading = {
    'chunks, inflated': () => chunks.map((chunk) => decodeInputs(inflateRawSync(chunk))),
    'rows in SQLite': () => rows.prepare('SELECT * FROM readings WHERE run = 1 ORDER BY scan').all(),
    'JSON lines, inflated': () =>
      deflatedLines.map((chunk) =>
        inflateRawSync(chunk)
          .toString()
          .split('\n')
          .map((line) => JSON.parse(line) as Input),
      ),
  };
  writeRows();
  for (const [what, ways] of Object.entries({ written: writing, read: reading })) {
    let ours = 0;
    for (const [name, way] of Object.entries(ways)) {
      const result = await bench(`${what}: ${name}`, () => void way()).run();
      const perSecond = readings * result.throughput.mean;
      ours ||= perSecond;
      process.stdout.write(
        `${what}, ${name}: ${Math.round(perSecond).toLocaleString('en')} readings/s (×${(perSecond / ours).toFixed(2)})\n`,
      );
      // A still gives some ten readings a second; a tenth of what a small two-core machine does.
      expect(perSecond).toBeGreaterThan(20_000);
    }
  }
});

test('turns a second of the daemon', async ({ bench }) => {
  const journal = valueOrThrow(openJournal(':memory:'));
  valueOrThrow(journal.beginRun(header('bench')));
  let turn = 0;
  const next = (): Input => {
    const input = inputs[turn % inputs.length] ?? { now: 0, readings: [], orders: [] };
    const lap = Math.floor(turn++ / inputs.length);
    return { ...input, now: input.now + 600 * lap };
  };
  const turns = {
    'a scan remembered, nothing due': () => journal.append('bench', next(), nothing),
    'a decision written with the tail of its minute, in memory': () => journal.append('bench', next(), decided(turn)),
  };
  for (const [name, append] of Object.entries(turns)) {
    const result = await bench(name, () => {
      append();
      if (journal.commit().kind === 'failed') throw new Error('the store failed');
    }).run();
    process.stdout.write(`${name}: ${Math.round(result.throughput.mean).toLocaleString('en')} turns/s\n`);
    expect(result.throughput.mean).toBeGreaterThan(200);
  }
});
