import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';

const root = join(__dirname, '../..');
const folder = join(root, 'daemon/page/assets');
const files = readdirSync(folder).map((name) => ({ name, text: readFileSync(join(folder, name), 'utf8') }));
const scripts = files.filter(({ name }) => name.endsWith('.js'));

function wordsOf(name: string): Record<string, string> {
  const { text } = files.find((file) => file.name === name) ?? { text: '' };
  return Object.fromEntries(
    [...text.matchAll(/^ {2}'?([\w.-]+)'?:\s+["'`]([\s\S]*?)["'`],$/gm)].map(([, key = '', words = '']) => [
      key,
      words,
    ]),
  );
}

describe('files of the page', () => {
  it('pass the type checker', () => {
    const tsc = join(root, 'node_modules/typescript/bin/tsc');
    const { status, stdout } = spawnSync(process.execPath, [tsc, '-p', folder], { encoding: 'utf8' });
    expect(stdout.split('\n').filter((line) => line.startsWith('daemon/page'))).toEqual([]);
    expect(status).toBe(0);
  });

  it('ask nothing of the outside', () => {
    const wrong = files.flatMap(({ name, text }) =>
      [...text.matchAll(/(?:https?:)?\/\/[a-z0-9-]+\.[a-z]{2,}[^\s"']*/gi)]
        .map(([url]) => `${name}: ${url}`)
        // The name of the SVG namespace is no request.
        .filter((line) => !line.includes('www.w3.org/2000/svg')),
    );
    expect(wrong).toEqual([]);
  });

  it('run nothing inline and make no markup from text', () => {
    const html = files.find(({ name }) => name === 'index.html')?.text ?? '';
    expect(html).not.toMatch(/<style|style=|<script(?![^>]*src=)|\son\w+=/);
    for (const { name, text } of scripts) {
      expect([
        name,
        /innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|setAttribute\('style'/.test(text),
      ]).toEqual([name, false]);
    }
  });

  it('move nothing', () => {
    for (const { name, text } of files.filter((file) => file.name.endsWith('.css'))) {
      expect([name, /transition|animation|@keyframes|scroll-behavior/.test(text)]).toEqual([name, false]);
    }
  });

  it('find every word they say in the catalogue, and leave none unsaid', () => {
    const words = { ...wordsOf('words-en.js'), ...wordsOf('words-record-en.js') };
    const code = scripts
      .filter(({ name }) => !name.startsWith('words-'))
      .map(({ text }) => text)
      .join('\n');
    const said = [...code.matchAll(/say\(\s*'([\w.-]+)'/g)].map(([, key = '']) => key);
    expect(said.length).toBeGreaterThan(120);
    expect(said.filter((key) => words[key] === undefined)).toEqual([]);
    // Keys put together (`sure.${kind}`) begin with one of these.
    const made = [...code.matchAll(/`([\w-]+)\.\$\{/g)].map(([, start = '']) => `${start}.`);
    const quoted = new Set([...code.matchAll(/'([\w.-]+)'/g)].map(([, key = '']) => key));
    const unsaid = Object.keys(words).filter((key) => !quoted.has(key) && !made.some((start) => key.startsWith(start)));
    expect(unsaid).toEqual([]);
  });

  it('say that this is no safety system and where a phone belongs', () => {
    const html = files.find(({ name }) => name === 'index.html')?.text ?? '';
    expect(html).toMatch(/Monitoring and basic control\. Not a safety system/);
    expect(html).toMatch(/outside the hazardous zone/);
  });

  it('are small: no script above 250 lines, all together below 200 kB', () => {
    for (const { name, text } of scripts) expect([name, text.split('\n').length <= 251]).toEqual([name, true]);
    expect(files.reduce((sum, { text }) => sum + text.length, 0)).toBeLessThan(200_000);
  });
});
