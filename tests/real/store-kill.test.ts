import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openJournal, valueOrThrow } from '../../daemon/store';
import { reading } from '../tools/store-samples';

let directory: string;
let path: string;
const children: ChildProcess[] = [];

beforeEach(() => {
  directory = mkdtempSync(join(tmpdir(), 'middlecut-kill-'));
  path = join(directory, 'journal.db');
});
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
  rmSync(directory, { recursive: true, force: true });
});

/** Starts the writer, lets it write for a while, and kills it without warning; gives what it said was committed. */
async function writeAndKill(what: 'run' | 'notes', forMs: number): Promise<readonly number[]> {
  const hooks = join(process.cwd(), 'tests/tools/typescript-hooks.mjs');
  const writer = join(process.cwd(), 'tests/real/store-writer.ts');
  const child = spawn(process.execPath, ['--import', hooks, writer, path, what], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  children.push(child);
  let said = '';
  let complained = '';
  child.stdout.on('data', (data: Buffer) => {
    said += data.toString();
  });
  child.stderr.on('data', (data: Buffer) => {
    complained += data.toString();
  });
  await Promise.race([once(child.stdout, 'data'), once(child, 'exit')]);
  await new Promise((resolve) => setTimeout(resolve, forMs));
  const gone = once(child, 'close');
  child.kill('SIGKILL');
  const [, signal] = await gone;
  expect(complained).toBe('');
  expect(signal).toBe('SIGKILL');
  // The last line may have been cut by the kill.
  return said.split('\n').slice(0, -1).map(Number);
}

describe('a writer killed at any moment', () => {
  it('loses no decision it had committed, time after time over one run, and the chain holds', async () => {
    const committed: number[] = [];
    for (let round = 0; round < 6; round++) {
      committed.push(...(await writeAndKill('run', 150 + round * 83)));
      const journal = valueOrThrow(openJournal(path));
      const verified = valueOrThrow(journal.verify('r1'));
      expect(verified).toMatchObject({ kind: 'whole', lost: false, thinned: false });
      const scans = valueOrThrow(journal.run('r1')).scans;
      const inputs = Array.from(journal.readInputs('r1'));
      expect(inputs).toEqual(Array.from({ length: scans }, (_, now) => reading(now)));
      const decisions = new Set(
        Array.from(journal.readDecisions('r1')).flatMap((kept) =>
          kept.kind === 'decision' ? [kept.decision.atS] : [],
        ),
      );
      expect(committed.filter((atS) => !decisions.has(atS))).toEqual([]);
      // Nothing is decided beyond what was read: the tail of the open minute is in the same commit.
      expect(Math.max(...decisions)).toBeLessThan(scans);
      journal.close();
    }
    expect(committed.length).toBeGreaterThan(100);
  });

  it('leaves every restart in the record', async () => {
    await writeAndKill('run', 100);
    await writeAndKill('run', 100);
    const journal = valueOrThrow(openJournal(path));
    const marks = Array.from(journal.readDecisions('r1')).flatMap((kept) =>
      kept.kind === 'mark' ? [kept.mark.mark] : [],
    );
    expect(marks).toEqual(['continued']);
    journal.close();
  });

  it('loses no letter of a note that was saved', async () => {
    const saved = await writeAndKill('notes', 200);
    const journal = valueOrThrow(openJournal(path));
    const revisions = valueOrThrow(journal.revisions('tasting', 'jar-7'));
    expect(saved.length).toBeGreaterThan(5);
    expect(revisions.length).toBeGreaterThanOrEqual(Math.max(...saved));
    const lengths = revisions.map(({ body }) => (body as { note: string }).note.length);
    expect(lengths).toEqual(lengths.map((_length, i) => 'pear, glue'.length + i));
    journal.close();
  });
});
