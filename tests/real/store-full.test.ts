import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openJournal, valueOrThrow } from '../../daemon/store';
import { decided, header, nothing, reading } from '../tools/store-samples';

const directory = mkdtempSync(join(tmpdir(), 'middlecut-full-'));

/** A disk of two megabytes of its own; only root may mount one. */
const hasDisk =
  spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=2m', 'tmpfs', directory], { stdio: 'ignore' }).status === 0;
if (!hasDisk)
  process.stderr.write('\nSKIPPED: a test of a full disk needs the right to mount a tmpfs (run it as root)\n\n');

afterAll(() => {
  if (hasDisk) spawnSync('umount', ['-l', directory]);
  rmSync(directory, { recursive: true, force: true });
});

describe.skipIf(!hasDisk)('a disk that fills up under a run', () => {
  const path = join(directory, 'journal.db');
  const ballast = join(directory, 'ballast');

  beforeAll(() => {
    writeFileSync(ballast, Buffer.alloc(1_200_000));
  });

  it('is told, costs nothing that was written, and the run goes on where there is room again', () => {
    let clockMs = 0;
    const journal = valueOrThrow(openJournal(path, { clockMs: () => clockMs }));
    valueOrThrow(journal.beginRun(header('r1')));
    let noise = 7;
    let now = 0;
    let failed = null;
    while (failed === null && now < 200_000) {
      noise = (noise * 48271) % 2147483647;
      journal.append('r1', reading(now, noise / 997), now % 5 === 0 ? decided(now) : nothing);
      clockMs += 1000;
      const committed = journal.commit();
      if (committed.kind === 'failed') failed = committed;
      now += 1;
    }
    expect(failed).toMatchObject({ failure: { kind: 'full' } });
    expect(now).toBeGreaterThan(100);
    // The scans go on; decisions are kept in memory.
    for (let i = 0; i < 30; i++, now++) {
      journal.append('r1', reading(now), decided(now));
      clockMs += 1000;
      expect(journal.commit().kind).toBe('failed');
    }
    expect(valueOrThrow(journal.verify('r1'))).toMatchObject({ kind: 'whole' });
    rmSync(ballast);
    clockMs += 60_000;
    expect(journal.commit()).toMatchObject({ kind: 'ok' });
    expect(journal.flush().kind).toBe('ok');
    expect(Array.from(journal.readInputs('r1'), (input) => input.now)).toEqual(
      Array.from({ length: now }, (_, i) => i),
    );
    expect(valueOrThrow(journal.verify('r1'))).toMatchObject({ kind: 'whole', lost: false });
    expect(journal.close().kind).toBe('ok');
  });

  it('refuses a new journal with a message that names the disk', () => {
    writeFileSync(ballast, Buffer.alloc(100_000));
    // Fill to the last byte.
    spawnSync('sh', ['-c', `cat /dev/zero >> ${ballast}`], { stdio: 'ignore' });
    const opened = openJournal(join(directory, 'second.db'));
    expect(opened).toMatchObject({
      kind: 'failed',
      failure: { kind: 'full', message: expect.stringContaining('full') },
    });
    rmSync(ballast);
    expect(openJournal(join(directory, 'second.db')).kind).toBe('ok');
  });
});
