import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';

export const root = resolve(__dirname, '..', '..');

/** What the package would hold, by names, sizes and times: enough to know a package made before. */
function contentsKey(): string {
  const key = createHash('sha256');
  for (const entry of ['package.json', 'README.md', 'dist', 'examples', 'flows-examples']) {
    const at = join(root, entry);
    if (!existsSync(at)) continue;
    const inside = statSync(at).isDirectory() ? (readdirSync(at, { recursive: true }) as string[]).sort() : [''];
    for (const file of inside) {
      const { size, mtimeMs } = statSync(join(at, file));
      key.update(`${entry}/${file} ${size} ${mtimeMs}\n`);
    }
  }
  return key.digest('hex').slice(0, 16);
}

/**
 * The package as it would be published: packed by npm from what is built, and laid out in a folder of its own. Made once
 * for all test files, and anew when something in it changes.
 */
export function packPackage(): string {
  if (!existsSync(join(root, 'dist/nodes/run/run.js'))) throw new Error('dist/ is missing: npm run build');
  const kept = join(root, '.tmp', 'packed');
  const place = join(kept, contentsKey());
  if (existsSync(place)) return join(place, 'package');
  mkdirSync(kept, { recursive: true });
  for (const old of readdirSync(kept))
    if (Date.now() - statSync(join(kept, old)).mtimeMs > 3_600_000) rmSync(join(kept, old), { recursive: true });
  const folder = mkdtempSync(join(kept, 'being-made-'));
  execFileSync('npm', ['pack', '--ignore-scripts', '--silent', '--pack-destination', folder], { cwd: root });
  const tarball = readdirSync(folder).find((name) => name.endsWith('.tgz'))!;
  execFileSync('tar', ['-xzf', join(folder, tarball), '-C', folder]);
  try {
    renameSync(folder, place);
  } catch {
    // Another test file was faster.
    rmSync(folder, { recursive: true });
  }
  return join(place, 'package');
}

/** Where a package's dependencies may lie: inside it, beside it, or in the checkout. */
function placesOf(from: string): string[] {
  const real = realpathSync(from);
  const beside = real.includes('node_modules')
    ? real.slice(0, real.lastIndexOf('node_modules') + 'node_modules'.length)
    : '';
  return [join(real, 'node_modules'), ...(beside === '' ? [] : [beside]), join(root, 'node_modules')];
}

/** Installs a package into a user directory as npm would, its dependencies taken from the checkout instead of a registry. */
export function install(userDir: string, from: string): void {
  const {
    name,
    dependencies = {},
    optionalDependencies = {},
  } = JSON.parse(readFileSync(join(from, 'package.json'), 'utf8'));
  const place = join(userDir, 'node_modules', name);
  mkdirSync(dirname(place), { recursive: true });
  cpSync(from, place, { recursive: true, dereference: true });
  for (const dependency of Object.keys({ ...dependencies, ...optionalDependencies })) {
    const found = placesOf(from)
      .map((place) => join(place, dependency))
      .find(existsSync);
    const link = join(userDir, 'node_modules', dependency);
    if (found !== undefined && !existsSync(link)) {
      mkdirSync(dirname(link), { recursive: true });
      symlinkSync(found, link);
    }
  }
  const manifest = join(userDir, 'package.json');
  const known = existsSync(manifest)
    ? JSON.parse(readFileSync(manifest, 'utf8'))
    : { name: 'stillroom', private: true, dependencies: {} };
  known.dependencies[name] = '*';
  writeFileSync(manifest, JSON.stringify(known));
}

/** Whether a package of the devDependencies is there; said loudly where it is not, so that no test is skipped in silence. */
export function hasPackage(name: string): boolean {
  const there = existsSync(join(root, 'node_modules', name, 'package.json'));
  if (!there) process.stderr.write(`\nSKIPPED: a test needs the package ${name} (npm install --save-dev ${name})\n\n`);
  return there;
}
