import { globSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';
import { describe, expect, it } from 'vitest';

const root = join(__dirname, '..', '..');
const sources = globSync('{lib,daemon,nodes,simulators}/**/*.ts', { cwd: root }).map((file) =>
  file.replaceAll('\\', '/'),
);

interface Import {
  readonly file: string;
  readonly from: string;
}

function importsOf(file: string): Import[] {
  const text = readFileSync(join(root, file), 'utf8');
  const found = [...text.matchAll(/(?:from|import\(|require\()\s*'([^']+)'/g)].map((match) => match[1] ?? '');
  return found.map((from) => ({
    file,
    from: from.startsWith('.')
      ? relative(root, normalize(join(root, dirname(file), from))).replaceAll('\\', '/')
      : from,
  }));
}

const imports = sources.flatMap(importsOf);
const folderOf = (path: string) => path.split('/')[0] ?? '';

describe('the dependency rule', () => {
  it('lib imports zod and itself, nothing else', () => {
    const wrong = imports.filter(
      ({ file, from }) => folderOf(file) === 'lib' && from !== 'zod' && folderOf(from) !== 'lib',
    );
    expect(wrong).toEqual([]);
  });

  it('simulators/model imports lib and itself, nothing else', () => {
    const wrong = imports.filter(
      ({ file, from }) =>
        file.startsWith('simulators/model/') && folderOf(from) !== 'lib' && !from.startsWith('simulators/model'),
    );
    expect(wrong).toEqual([]);
  });

  it('daemon, nodes and simulators import lib and simulators/model, never each other', () => {
    const shells = ['daemon', 'nodes', 'simulators'];
    const wrong = imports.filter(({ file, from }) => {
      const [own, other] = [folderOf(file), folderOf(from)];
      return shells.includes(own) && shells.includes(other) && own !== other && !from.startsWith('simulators/model');
    });
    expect(wrong).toEqual([]);
  });

  it('nothing that is shipped imports the tests', () => {
    expect(imports.filter(({ from }) => folderOf(from) === 'tests')).toEqual([]);
  });
});

describe('lib stays pure', () => {
  const banned =
    /\b(Date\b|Math\.random|setTimeout|setInterval|setImmediate|performance\.|process\.|console\.|globalThis)/;

  function codeOf(file: string): string {
    return readFileSync(join(root, file), 'utf8')
      .replace(/\/\*[\s\S]*?\*\//g, '')
      .replace(/\/\/.*$/gm, '')
      .replace(/'(?:[^'\\\n]|\\.)*'/g, "''")
      .replace(/`(?:[^`\\]|\\.)*`/g, '``');
  }

  it('has no clock, no chance, no timer and no process', () => {
    const pure = sources.filter((file) => file.startsWith('lib/') || file.startsWith('simulators/model/'));
    const wrong = pure.filter((file) => banned.test(codeOf(file)));
    expect(wrong).toEqual([]);
  });

  it('knows no any', () => {
    const wrong = sources.filter((file) => /(:|as|<)\s*any\b/.test(codeOf(file)));
    expect(wrong).toEqual([]);
  });
});

describe('physics says where it comes from', () => {
  it('every file of lib/physics that holds a formula names a source', () => {
    const files = sources.filter(
      (file) => file.startsWith('lib/physics/') && !/(index|root|constants)\.ts$/.test(file),
    );
    const wrong = files.filter((file) => !/Source:|source:/.test(readFileSync(join(root, file), 'utf8')));
    expect(wrong).toEqual([]);
  });

  it('every public function of lib/physics has a docstring', () => {
    const wrong: string[] = [];
    for (const file of sources.filter((one) => one.startsWith('lib/physics/'))) {
      const lines = readFileSync(join(root, file), 'utf8').split('\n');
      for (const [index, line] of lines.entries()) {
        if (
          /^export function/.test(line) &&
          lines[index - 1]?.trim() !== '*/' &&
          !/\*\/\s*$/.test(lines[index - 1] ?? '')
        ) {
          wrong.push(`${file}: ${line}`);
        }
      }
    }
    expect(wrong).toEqual([]);
  });
});

describe('the package', () => {
  const manifest = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as Record<
    string,
    Record<string, string>
  >;

  it('has at most six dependencies', () => {
    expect(Object.keys(manifest.dependencies ?? {}).length).toBeLessThanOrEqual(6);
  });

  it('runs its scripts under the pinned Node', () => {
    expect(process.version.startsWith('v24.')).toBe(true);
  });

  it('keeps registry addresses out of the lock file', () => {
    expect(readFileSync(join(root, 'package-lock.json'), 'utf8')).not.toMatch(/"resolved":/);
  });

  it('keeps the top level to the fixed layout', () => {
    const fixed =
      /^(\..*|package(-lock)?\.json|tsconfig\.json|README\.md|DEVELOPERS\.md|LICENSE|nodes|daemon|lib|tests|flows-examples|simulators|node_modules|dist|examples)$/;
    const extra = globSync('*', { cwd: root }).filter((name) => !fixed.test(name) && name !== 'middlecut-data');
    expect(extra).toEqual([]);
  });
});
