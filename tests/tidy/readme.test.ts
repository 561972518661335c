import { existsSync, globSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { commands } from '../../daemon/commands';
import { loadConfig, showLocated } from '../../daemon/config';
import { compilePlant } from '../../lib';
import { simulate } from '../../simulators/simulate';

const root = join(__dirname, '..', '..');
const readme = readFileSync(join(root, 'README.md'), 'utf8');
const folder = mkdtempSync(join(tmpdir(), 'middlecut-readme-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The YAML blocks of the README by the file name in the line before. */
function blocks(): Map<string, string> {
  const found = new Map<string, string>();
  for (const match of readme.matchAll(/`([a-z]+\.yaml)`:[^\n]*\n\n```yaml\n([\s\S]*?)```/g))
    found.set(match[1]!, match[2]!);
  return found;
}

describe('README', () => {
  it('has a first real set-up without errors, whose recipe fits the still in every variant', () => {
    const files = blocks();
    expect([...files.keys()]).toEqual(['still.yaml', 'recipe.yaml', 'middlecut.yaml']);
    for (const [name, text] of files) writeFileSync(join(folder, name), text);
    writeFileSync(join(folder, 'mqtt-password'), 'not a real one\n', { mode: 0o600 });
    const loaded = loadConfig(join(folder, 'middlecut.yaml'), {});
    const lines = (loaded.kind === 'bad' ? loaded.problems : loaded.warnings).map(showLocated);
    expect(lines).toEqual([]);
    if (loaded.kind === 'bad') return;
    const [still] = loaded.value.stills;
    for (const variant of [null, 'white', 'for-oak']) {
      const plant = compilePlant(still!.still, still!.recipes[0]!.recipe, variant, { volumeL: 55, strengthAbv: 0.29 });
      expect(plant.kind === 'bad' ? plant.problems : []).toEqual([]);
    }
  });

  it('names only commands and files that are there', () => {
    for (const match of readme.matchAll(/npx middlecut ([a-z]+)/g)) expect(Object.keys(commands)).toContain(match[1]);
    const named = [...readme.matchAll(/`((?:lib|daemon|simulators|nodes)\/[\w/.-]+\.md|DEVELOPERS\.md)`/g)];
    expect(named.length).toBeGreaterThan(5);
    for (const match of named) expect(() => readFileSync(join(root, match[1]!)), match[1]).not.toThrow();
  });

  it('starts with the job in one paragraph, and the cautions come next', () => {
    const [title, job, next] = readme.split('\n\n');
    expect(title).toBe('# Middlecut');
    expect(job!.split(/\s+/).length).toBeGreaterThan(60);
    expect(next).toBe('## Read this first');
  });

  it('leads to a water test that runs to its end on that still without an alarm', () => {
    const [, water = ''] =
      readFileSync(join(root, 'daemon/install/first-charge.md'), 'utf8').match(/```yaml\n([\s\S]*?)```/) ?? [];
    const still: unknown = parse(blocks().get('still.yaml') ?? '');
    const charge = { volumeL: 20, strengthAbv: 0.001 };
    const result = simulate({ still, recipe: parse(water) as unknown, charge, altitudeM: 420, seed: 3 });
    if (result.kind === 'bad') throw new Error(JSON.stringify(result.problems));
    const { events } = result.value;
    expect(events.filter((event) => event.kind === 'alarm')).toEqual([]);
    expect(events.flatMap((event) => (event.kind === 'phase' ? [event.to] : []))).toEqual([
      'heat-up',
      'foreshots',
      'hearts',
      'finish',
      'cool-down',
    ]);
  });
});

describe('the pages beside the code', () => {
  const pages = globSync('{README,DEVELOPERS}.md', { cwd: root }).concat(
    globSync('{lib,daemon,nodes,simulators,tests,flows-examples}/**/*.md', { cwd: root }),
  );

  it('are linked to files that are there', () => {
    const missing = pages.flatMap((page) => {
      const links = [...readFileSync(join(root, page), 'utf8').matchAll(/\]\((?!https?:|#)([^)\s#]+)[^)]*\)/g)];
      return links
        .map(([, to = '']) => to)
        .filter((to) => !existsSync(join(root, dirname(page), to)))
        .map((to) => `${page}: ${to}`);
    });
    expect(pages.length).toBeGreaterThan(15);
    expect(missing).toEqual([]);
  });
});
