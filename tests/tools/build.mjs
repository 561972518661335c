// Builds dist/: compiles the sources, copies what stands beside them and is not TypeScript, and lays out examples/.
import { spawnSync } from 'node:child_process';
import { chmodSync, cpSync, existsSync, globSync, mkdirSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
process.chdir(root);

const [major, minor] = process.versions.node.split('.').map(Number);
if (major < 22 || (major === 22 && minor < 13)) {
  console.error(`This build needs Node 22.13 or newer; this is ${process.version}.`);
  console.error('npm ci installs Node 24 for the npm scripts: run it without --ignore-scripts.');
  process.exit(1);
}

const tsc = join(dirname(createRequire(import.meta.url).resolve('typescript/package.json')), 'bin', 'tsc');
rmSync('dist', { recursive: true, force: true });
const compiled = spawnSync(process.execPath, [tsc, '-p', 'tsconfig.json'], { stdio: 'inherit' });
if (compiled.status !== 0) process.exit(compiled.status ?? 1);

const assets = '{lib,daemon,nodes,simulators}/**/*.{html,css,svg,png,json,js,yaml,sql,service,webmanifest,conf}';
for (const file of globSync(assets)) {
  if (file.endsWith('tsconfig.json')) continue;
  mkdirSync(join('dist', dirname(file)), { recursive: true });
  cpSync(file, join('dist', file));
}

rmSync('examples', { recursive: true, force: true });
if (existsSync('flows-examples')) {
  for (const file of globSync('flows-examples/*.json')) {
    mkdirSync('examples', { recursive: true });
    cpSync(file, join('examples', file.slice('flows-examples/'.length)));
  }
}
if (existsSync('dist/daemon/main.js')) chmodSync('dist/daemon/main.js', 0o755);
