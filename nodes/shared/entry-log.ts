import { closeSync, existsSync, fsyncSync, mkdirSync, openSync, readFileSync, renameSync, writeSync } from 'node:fs';
import { dirname } from 'node:path';

/** Entries of a sheet in a file, one line each, only ever added: on the disk before anybody is told. */
export interface EntryLog {
  read(): readonly unknown[];
  add(entry: unknown): void;
  /** Puts the file aside under a name of its own and begins anew. */
  putAside(stamp: string): void;
}

/** A line cut short by a power cut is passed over: what was whole is kept. */
function linesOf(text: string): unknown[] {
  return text.split('\n').flatMap((line) => {
    if (line.trim() === '') return [];
    try {
      return [JSON.parse(line) as unknown];
    } catch {
      return [];
    }
  });
}

export function entryLogIn(file: string): EntryLog {
  return {
    read: () => (existsSync(file) ? linesOf(readFileSync(file, 'utf8')) : []),
    add(entry) {
      mkdirSync(dirname(file), { recursive: true });
      const handle = openSync(file, 'a');
      try {
        // A blank line first: whatever a power cut left of a line before cannot spoil this one.
        writeSync(handle, `\n${JSON.stringify(entry)}\n`);
        fsyncSync(handle);
      } finally {
        closeSync(handle);
      }
    },
    putAside(stamp) {
      if (existsSync(file)) renameSync(file, file.replace(/(\.[a-z]+)$/, `-${stamp}$1`));
    },
  };
}
