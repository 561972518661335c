import { copyFileSync, existsSync, readFileSync, rmSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const files = ['record.sqlite', 'record.sqlite-wal'] as const;

/** What can befall a file: cut off, zeroed or written over, by chance. */
export const damages = [
  'cut off',
  'wal cut off',
  'wal lost',
  'scribbled',
  'zeroed',
  'beginning lost',
  'emptied',
] as const;
export type Damage = (typeof damages)[number];

function overwrite(path: string, chance: () => number, pieces: number, longest: number, byte: () => number): void {
  const bytes = readFileSync(path);
  for (let piece = 0; piece < pieces; piece += 1) {
    const at = Math.floor(chance() * bytes.length);
    const end = Math.min(bytes.length, at + 1 + Math.floor(chance() * longest));
    for (let i = at; i < end; i += 1) bytes[i] = byte();
  }
  writeFileSync(path, bytes);
}

/** Copies a record and damages the copy. */
export function damagedCopy(from: string, to: string, damage: Damage, chance: () => number): void {
  for (const name of files) {
    rmSync(join(to, name), { force: true });
    if (existsSync(join(from, name))) copyFileSync(join(from, name), join(to, name));
  }
  const [main, wal] = files.map((name) => join(to, name)) as [string, string];
  switch (damage) {
    case 'cut off':
      truncateSync(main, Math.floor(chance() * statSync(main).size));
      return;
    case 'wal cut off':
      if (existsSync(wal)) truncateSync(wal, Math.floor(chance() * statSync(wal).size));
      return;
    case 'wal lost':
      rmSync(wal, { force: true });
      return;
    case 'scribbled':
      overwrite(main, chance, 3, 4096, () => Math.floor(chance() * 256));
      return;
    case 'zeroed':
      overwrite(main, chance, 2, 16_384, () => 0);
      return;
    case 'beginning lost': {
      const bytes = readFileSync(main);
      bytes.fill(0, 0, 100);
      writeFileSync(main, bytes);
      return;
    }
    case 'emptied':
      truncateSync(main, 0);
      rmSync(wal, { force: true });
  }
}
