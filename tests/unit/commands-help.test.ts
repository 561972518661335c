import { describe, expect, it } from 'vitest';
import { commands } from '../../daemon/commands';
import { runLine } from './commands-run';

const arithmetic = ['strength', 'proof', 'blend', 'calibrate', 'shift'];

interface Example {
  readonly line: string;
  readonly shown: readonly string[];
}

/** The examples of a help text: each begins with `$ middlecut` and goes on to the next or the end. */
function examplesOf(help: string): Example[] {
  const text = help.slice(help.indexOf('Examples\n'));
  return text
    .split(/^ {2}\$ middlecut /m)
    .slice(1)
    .map((example) => {
      const end = /(?<!\\)\n/.exec(example)?.index ?? example.length;
      const shown = example
        .slice(end)
        .split('\n')
        .map((line) => line.slice(2))
        .filter((line) => line !== '');
      return { line: example.slice(0, end), shown };
    });
}

async function helpOf(name: string): Promise<string> {
  return (await commands[name]!.load()).help;
}

describe.each(arithmetic)('help of %s', (name) => {
  it('has two worked examples or more, with figures', async () => {
    const examples = examplesOf(await helpOf(name));
    expect(examples.length).toBeGreaterThanOrEqual(2);
    for (const { shown } of examples) expect(shown.join(' ')).toMatch(/\d\.\d/);
  });

  it('prints in its examples what the command prints', async () => {
    for (const { line, shown } of examplesOf(await helpOf(name))) {
      const ran = await runLine(line);
      // An ellipsis stands for the cautions, which are sentences and not figures.
      const printed = ran.out
        .split('\n')
        .map((row) => (row.startsWith('caution: ') ? '…' : row))
        .filter((row, index, rows) => row !== '' && !(row === '…' && rows[index - 1] === '…'));
      expect(printed, line).toEqual(shown);
    }
  });

  it('fits a terminal and names every option the command takes', async () => {
    const help = await helpOf(name);
    for (const line of help.split('\n')) expect(line.length, line).toBeLessThanOrEqual(120);
    const refused = await runLine(`${name} --no-such-option`);
    expect(refused.code).toBe(2);
    const options = [...refused.err.matchAll(/--[a-z-]+/g)].map(([option]) => option);
    expect(options.length).toBeGreaterThan(4);
    for (const option of options) {
      if (option === '--help' || option === '--no-such-option') continue;
      expect(help, option).toContain(option);
    }
  });

  it('asks for its input with exit code 2 when called with nothing', async () => {
    const ran = await runLine(name);
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.err).toContain(`middlecut ${name} --help`);
  });
});
