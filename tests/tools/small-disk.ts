import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

let isAllowed: boolean | null = null;

/** Whether a disk of a test's own can be mounted here; says loudly when not: it takes root. */
export function canMount(): boolean {
  if (isAllowed !== null) return isAllowed;
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-try-disk-'));
  isAllowed = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=1m', 'tmpfs', folder], { stdio: 'ignore' }).status === 0;
  if (isAllowed) spawnSync('umount', [folder]);
  else process.stderr.write('\nSKIPPED: a test of a full disk needs the right to mount a tmpfs (run it as root)\n\n');
  rmSync(folder, { recursive: true, force: true });
  return isAllowed;
}

export interface SmallDisk {
  readonly folder: string;
  /** Fills it to the last byte. */
  readonly fill: () => void;
  readonly empty: () => void;
  /** Makes it read-only, or writable again. */
  readonly setReadOnly: (isReadOnly: boolean) => void;
  readonly freeBytes: () => number;
  readonly remove: () => void;
}

export function mountSmallDisk(megabytes: number): SmallDisk {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-disk-'));
  const mount = (...args: readonly string[]) => {
    const run = spawnSync('mount', args, { encoding: 'utf8' });
    if (run.status !== 0) throw new Error(`mount ${args.join(' ')}: ${run.stderr}`);
  };
  mount('-t', 'tmpfs', '-o', `size=${megabytes}m`, 'tmpfs', folder);
  const ballast = join(folder, 'ballast');
  const freeBytes = () => {
    const { bavail, bsize } = statfsSync(folder);
    return bavail * bsize;
  };
  return {
    folder,
    freeBytes,
    fill: () => {
      let chunk = Buffer.alloc(65_536);
      while (chunk.length >= 1) {
        try {
          writeFileSync(ballast, chunk, { flag: 'a' });
        } catch {
          chunk = chunk.subarray(0, chunk.length >> 1);
        }
      }
    },
    empty: () => rmSync(ballast, { force: true }),
    setReadOnly: (isReadOnly) => mount('-o', `remount,${isReadOnly ? 'ro' : 'rw'}`, folder),
    remove: () => {
      spawnSync('umount', ['-l', folder]);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
