import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach } from 'vitest';
import { type Journal, type JournalOptions, openJournal, type Stored } from '../../daemon/store';

/** A directory of its own for each test, gone afterwards, with the journals that were opened in it closed. */
export function workshop() {
  const directories: string[] = [];
  const journals: Journal[] = [];
  afterEach(() => {
    for (const journal of journals.splice(0)) {
      try {
        journal.close();
      } catch {
        // Closed by the test itself.
      }
    }
    for (const directory of directories.splice(0)) rmSync(directory, { recursive: true, force: true });
  });
  const place = (): string => {
    const directory = mkdtempSync(join(tmpdir(), 'middlecut-store-'));
    directories.push(directory);
    return join(directory, 'journal.db');
  };
  const open = (path: string, options: JournalOptions = {}): Journal => {
    const journal = take(openJournal(path, options));
    journals.push(journal);
    return journal;
  };
  return { place, open };
}

export function take<T>(stored: Stored<T>): T {
  if (stored.kind === 'failed') throw new Error(`${stored.failure.kind}: ${stored.failure.message}`);
  return stored.value;
}

export * from '../tools/store-samples';
