import { existsSync, globSync, readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { checkRecipe, checkStill, compilePlant, showProblem } from '../../lib';
import { sayTrouble, troubleLanguages } from '../../nodes/shared/troubles';
import { good } from '../tools/plants';

const root = resolve(__dirname, '..', '..');
const read = (file: string) => readFileSync(join(root, file), 'utf8');
const manifest = JSON.parse(read('package.json'));
const names = readdirSync(join(root, 'nodes')).filter((name) => name !== 'shared');
const locales = ['en-US', 'de', 'fr'];
const examples = readdirSync(join(root, 'flows-examples')).map((file) => ({
  file,
  nodes: JSON.parse(read(`flows-examples/${file}`)) as Record<string, unknown>[],
}));

function keysOf(value: Record<string, unknown>, before = ''): string[] {
  return Object.entries(value).flatMap(([key, inner]) =>
    typeof inner === 'object' && inner !== null
      ? keysOf(inner as Record<string, unknown>, `${before}${key}.`)
      : [`${before}${key}`],
  );
}

describe('the package', () => {
  it('registers every node there is, where the build puts it', () => {
    const wanted = Object.fromEntries(names.map((name) => [`middlecut-${name}`, `dist/nodes/${name}/${name}.js`]));
    expect(manifest['node-red'].nodes).toEqual(wanted);
    expect(manifest['node-red'].version).toBe('>=4.1.0');
  });

  it('reads timers and the wall clock in the shells only, and nothing of the daemon at all', () => {
    for (const file of globSync('nodes/**/*.ts', { cwd: root })) {
      const text = read(file);
      expect(text, file).not.toMatch(/from '.*\/daemon\//);
      expect(text, file).not.toMatch(/simulators\/(?!model')/);
      if (file !== 'nodes/shared/pulse.ts')
        expect(text, file).not.toMatch(/\b(setInterval|setTimeout|setImmediate|performance\.now)\(/);
      const isShell = /nodes\/shared\/station-node|jar-sheet\/jar-sheet/.test(file);
      if (!isShell) expect(text, file).not.toMatch(/Date\.now\(|new Date\(\)/);
    }
  });
});

describe.each(names)('node %s', (name) => {
  const html = read(`nodes/${name}/${name}.html`);
  const isConfig = html.includes("category: 'config'");

  it('has a form, an icon and help in every language', () => {
    expect(html).toContain(`data-template-name="middlecut-${name}"`);
    if (!isConfig) {
      expect(html).toContain(`icon: 'middlecut-${name}.svg'`);
      expect(existsSync(join(root, `nodes/${name}/icons/middlecut-${name}.svg`))).toBe(true);
    }
    const headings = (text: string) => text.match(/<h3>/g)?.length ?? 0;
    const english = read(`nodes/${name}/locales/en-US/${name}.html`);
    for (const locale of locales) {
      const help = read(`nodes/${name}/locales/${locale}/${name}.html`);
      expect(help).toContain(`data-help-name="middlecut-${name}"`);
      expect(headings(help), locale).toBe(headings(english));
      const codes = (text: string) => [...new Set(text.match(/<code>[^<]*<\/code>/g))].length;
      expect(Math.abs(codes(help) - codes(english)), locale).toBeLessThanOrEqual(2);
    }
    if (!isConfig) expect(english).toMatch(/<h3>Inputs<\/h3>[\s\S]*<h3>Outputs<\/h3>[\s\S]*<h3>Details<\/h3>/);
  });

  it('has the same words in every language, and every word that the form asks for', () => {
    const catalogue = (locale: string) =>
      JSON.parse(read(`nodes/${name}/locales/${locale}/${name}.json`)) as Record<string, unknown>;
    const english = keysOf(catalogue('en-US'));
    for (const locale of locales) expect(keysOf(catalogue(locale)).sort(), locale).toEqual([...english].sort());
    const asked = [
      ...[...html.matchAll(/data-i18n="(?:\[\w+\])?([^"]+)"/g)].map((found) => found[1]!),
      ...[...html.matchAll(/_\('(middlecut-[^']+)'\)/g)].map((found) => found[1]!),
      ...[
        ...(existsSync(join(root, `nodes/${name}/${name}.ts`)) ? read(`nodes/${name}/${name}.ts`) : '').matchAll(
          /RED\._\('([^']+)'/g,
        ),
      ].map((found) => found[1]!),
    ];
    for (const key of asked) expect(english, key).toContain(key);
  });

  it('is shown by an example', () => {
    if (isConfig) return;
    expect(examples.some(({ nodes }) => nodes.some((node) => node.type === `middlecut-${name}`))).toBe(true);
  });
});

describe.each(examples)('example $file', ({ file, nodes }) => {
  it('is numbered, tells what it shows, and hangs together', () => {
    expect(file).toMatch(/^\d\d-[a-z-]+\.json$/);
    expect(String(nodes[0]?.info).length).toBeGreaterThan(60);
    const ids = new Set(nodes.map((node) => node.id));
    expect(ids.size).toBe(nodes.length);
    for (const node of nodes)
      for (const target of ((node.wires ?? []) as string[][]).flat()) expect(ids).toContain(target);
  });

  it('sets every property its nodes have, and no other', () => {
    for (const node of nodes) {
      const name = /^middlecut-(.*)$/.exec(String(node.type))?.[1];
      if (name === undefined) continue;
      const defaults = /defaults: \{([\s\S]*?)\n {4}\},/.exec(read(`nodes/${name}/${name}.html`))![1]!;
      const known = [...defaults.matchAll(/^ {6}(\w+): \{/gm)].map((found) => found[1]!);
      const own = Object.keys(node).filter((key) => !['id', 'type', 'z', 'x', 'y', 'wires'].includes(key));
      expect(own.sort(), `${file} ${node.type}`).toEqual([...known].sort());
    }
  });

  it('has stills and recipes without an error, that fit each other', () => {
    const document = (id: unknown) => {
      const text = String(nodes.find((node) => node.id === id)?.document ?? '');
      return text === '' ? null : (JSON.parse(text) as unknown);
    };
    for (const node of nodes) {
      if (node.type === 'middlecut-still') expect(checkStill(document(node.id)).kind).toBe('ok');
      if (node.type !== 'middlecut-run' || document(node.recipe) === null) continue;
      const still = good(checkStill(document(node.still)));
      const recipe = good(checkRecipe(document(node.recipe)));
      const charge = { volumeL: Number(node.chargeL), strengthAbv: Number(node.chargeVolPercent) / 100 };
      const compiled = compilePlant(still, recipe, (node.variant as string) || null, charge);
      expect(compiled.kind === 'bad' ? compiled.problems.map(showProblem) : []).toEqual([]);
    }
  });
});

describe('troubles', () => {
  it('are worded in every language with all their fields', () => {
    const found = { code: 'time-old', key: '', fields: { point: 'vapour', ageS: 312, limitS: 15 } } as const;
    for (const language of troubleLanguages) {
      const text = sayTrouble(found, language);
      expect(text).toMatch(/vapour.*312.*15/);
      expect(text).not.toContain('{');
    }
    expect(sayTrouble(found, 'xx')).toBe(sayTrouble(found, 'en'));
  });
});
