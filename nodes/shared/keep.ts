import { mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { mkdir, open, rename } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { readExactJson, writeExactJson } from '../../lib/record';
import type { Saved } from './session';

export type Loaded =
  | { readonly kind: 'none' }
  | { readonly kind: 'ok'; readonly saved: Saved }
  | { readonly kind: 'bad'; readonly why: string };

/** Where a node writes its run down, so that it outlives a redeploy, a restart and a crash. */
export interface Keep {
  load(): Loaded;
  /** Resolves when what was given, or something newer, is on the disk; rejects with the reason where it cannot be. */
  save(saved: Saved): Promise<void>;
  /** At the end, when nothing may be awaited any more. */
  saveNow(saved: Saved): void;
  remove(): void;
}

function understand(text: string): Loaded {
  try {
    const saved = readExactJson(text) as Saved;
    if (saved?.version !== 1 || typeof saved.run?.now !== 'number' || typeof saved.plant?.still?.id !== 'string')
      return { kind: 'bad', why: 'unknown version or shape' };
    return { kind: 'ok', saved };
  } catch (error) {
    return { kind: 'bad', why: error instanceof Error ? error.message : String(error) };
  }
}

/** Replaces a file as a whole, at once. */
export function writeWhole(file: string, text: string): void {
  mkdirSync(dirname(file), { recursive: true });
  // Its own name: an asynchronous write may still be under way in the other.
  writeFileSync(`${file}.last`, text);
  renameSync(`${file}.last`, file);
}

/** Keeps a run in one file, replaced as a whole: whatever happens, either the old or the new one is there. */
export function keepInFile(folder: string, name: string): Keep {
  const file = join(folder, `${name}.json`);
  const beside = `${file}.new`;
  let writing: Promise<void> | null = null;
  let next: {
    readonly saved: Saved;
    readonly done: Promise<void>;
    readonly resolve: () => void;
    readonly reject: (e: unknown) => void;
  } | null = null;

  async function write(saved: Saved): Promise<void> {
    await mkdir(dirname(file), { recursive: true });
    const handle = await open(beside, 'w');
    try {
      await handle.writeFile(writeExactJson(saved));
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(beside, file);
  }

  function run(saved: Saved): Promise<void> {
    const done = write(saved).finally(() => {
      writing = null;
      if (next === null) return;
      const { saved: newer, resolve, reject } = next;
      next = null;
      run(newer).then(resolve, reject);
    });
    writing = done;
    return done;
  }

  return {
    load() {
      try {
        return understand(readFileSync(file, 'utf8'));
      } catch (error) {
        const code = (error as NodeJS.ErrnoException).code ?? 'unreadable';
        return code === 'ENOENT' ? { kind: 'none' } : { kind: 'bad', why: code };
      }
    },
    save(saved) {
      if (writing === null) return run(saved);
      if (next !== null) {
        next = { ...next, saved };
        return next.done;
      }
      let resolve = () => {};
      let reject: (error: unknown) => void = () => {};
      const done = new Promise<void>((yes, no) => {
        resolve = yes;
        reject = no;
      });
      next = { saved, done, resolve, reject };
      return done;
    },
    saveNow(saved) {
      writeWhole(file, writeExactJson(saved));
    },
    remove() {
      rmSync(file, { force: true });
    },
  };
}
