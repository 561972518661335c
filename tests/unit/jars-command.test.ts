import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { commands } from '../../daemon/commands';
import { checkSheet, deriveRecipe, type Sheet, writeCsv } from '../../lib/jars';
import { shiftVapourTemp } from '../../lib/physics';
import { reduce } from '../../lib/proofing';
import { type Ran, runLine } from './commands-run';
import { inventSheet, usualVerdicts } from './jars-sheet';

const folder = mkdtempSync(join(tmpdir(), 'middlecut-jars-'));
const before = process.cwd();
beforeAll(() => {
  process.chdir(folder);
  writeFileSync('pear.csv', writeCsv(sheetOf(inventSheet({ pressureHPa: 963 }))));
});
afterAll(() => {
  process.chdir(before);
  rmSync(folder, { recursive: true, force: true });
});

function sheetOf(document: unknown): Sheet {
  const checked = checkSheet(document);
  if (checked.kind === 'bad') throw new Error(JSON.stringify(checked.problems));
  return checked.value;
}

async function json<T>(line: string): Promise<T> {
  const ran = await runLine(`jars ${line} --json`);
  if (ran.code !== 0) throw new Error(`${line}: ${ran.out}${ran.err}`);
  return JSON.parse(ran.out) as T;
}

const run = (line: string): Promise<Ran> => runLine(`jars ${line}`);

describe('help of jars', () => {
  it('has examples that run as they stand, and fits a terminal', async () => {
    const { help } = await commands.jars!.load();
    const examples = [...help.matchAll(/^ {2}\$ middlecut (.*)$/gm)].map((match) => match[1]!);
    expect(examples.length).toBeGreaterThanOrEqual(2);
    for (const line of examples) expect(await runLine(line), line).toMatchObject({ code: 0 });
    for (const line of help.split('\n')) expect(line.length, line).toBeLessThanOrEqual(120);
  });

  it('names every option of every verb', async () => {
    const { help } = await commands.jars!.load();
    const nothing = await run('');
    expect(nothing.code).toBe(2);
    const verbs = /say what to do: (.*)\./.exec(nothing.err)![1]!.split(', ');
    expect(verbs.length).toBeGreaterThan(10);
    for (const verb of verbs) {
      expect(help, verb).toMatch(new RegExp(`^middlecut jars ${verb} `, 'm'));
      const refused = await run(`${verb} --no-such-option`);
      expect(refused.code, verb).toBe(2);
      for (const [option] of refused.err.split('Options are')[1]!.matchAll(/--[a-z-]+/g)) {
        if (option !== '--help') expect(help, `${verb} ${option}`).toContain(option);
      }
    }
  });
});

describe('jars derive', () => {
  // The definition of a cut: the changeover as read, moved to the reference pressure; own arithmetic over the physics checked elsewhere.
  it.each([1030, 870])('prints cuts that are the changeovers of the day moved to 1013.25 hPa (%d hPa)', async (hPa) => {
    const document = inventSheet({ pressureHPa: hPa });
    writeFileSync('day.json', JSON.stringify(document));
    interface Derived {
      readonly variants: readonly {
        readonly variant: string;
        readonly cuts: { readonly tails: { readonly vapourAtReferenceC: number } };
      }[];
    }
    const { variants } = await json<Derived>('derive day.json');
    const white = variants.find((one) => one.variant === 'white')!;
    const lastIn = document.jars[usualVerdicts.lastIndexOf('in')]!;
    const expected = shiftVapourTemp(lastIn.end!.vapourTempC!, hPa, 1013.25);
    expect(white.cuts.tails.vapourAtReferenceC).toBeCloseTo(expected, 2);
  });

  it('writes the recipe that the library derives, as YAML that check accepts', async () => {
    expect(await run('derive pear.csv --rated-w 5000 -o pear.yaml')).toMatchObject({ code: 0 });
    expect((await runLine('check pear.yaml')).code).toBe(0);
    const derived = deriveRecipe(sheetOf(inventSheet({ pressureHPa: 963 })), { ratedW: 5000 });
    if (derived.kind === 'bad') throw new Error('refused');
    const { recipe } = await json<{ recipe: unknown }>('derive pear.csv --rated-w 5000');
    expect(recipe).toEqual(JSON.parse(JSON.stringify(derived.value.document)));
  });

  it('shows both ways of cutting with kelvin, share and litres, and says that compounds are predictions', async () => {
    const { out } = await run('derive pear.csv --bottling 40');
    expect(out).toMatch(
      /by temperature {2}± \d\.\d\d K, ± \d+\.\d % of the alcohol, ± \d\.\d\d L: the calibration of the probe/,
    );
    expect(out).toMatch(/by share +± \d\.\d\d K/);
    expect(out).toMatch(/a prediction, no analysis/);
    expect(out).toMatch(/does not take methanol away/);
    expect(out).toMatch(/below about 42 % vol|water L to 40\.0/);
  });

  it('gives in the table of choices the water that the reduction needs', async () => {
    interface Priced {
      readonly variants: readonly {
        readonly choices: readonly {
          readonly volume20L: number;
          readonly strengthAbv: number;
          readonly bottling: { readonly waterL: number };
        }[];
      }[];
    }
    const { variants } = await json<Priced>('derive pear.csv --bottling 42');
    const { volume20L, strengthAbv, bottling } = variants[0]!.choices[0]!;
    const amount = { kind: 'volume' as const, volumeL: volume20L, tempC: 20 };
    const reduced = reduce({ amount, strengthAbv, targetAbv: 0.42 });
    expect(reduced.kind === 'ok' && reduced.value.waterL).toBeCloseTo(bottling.waterL, 3);
  });

  it('refuses a contradictory sheet with every reason and exit code 1, and derives it where one insists', async () => {
    const verdicts = usualVerdicts.map((verdict, index) => (index === 8 || index === 11 ? 'out' : verdict));
    writeFileSync('gaps.json', JSON.stringify(inventSheet({ verdicts })));
    const refused = await run('derive gaps.json');
    expect(refused).toMatchObject({ code: 1, out: '' });
    expect(refused.err).toMatch(/jars\.8\.verdict.*jar 9 is out/);
    expect(refused.err).toMatch(/jars\.11\.verdict.*jar 12 is out/);
    const insisted = await run('derive gaps.json --insist span');
    expect(insisted.code).toBe(0);
    expect(insisted.out).toMatch(/white: jars 5 to 17, against the verdict on jar 9 \(out\), jar 12 \(out\)/);
    const longest = await run('derive gaps.json --insist longest');
    expect(longest.out).toMatch(/white: jars 13 to 17/);
  });

  it('lists all problems of its options at once', async () => {
    const refused = await run('derive nowhere.csv --by moon --bottling 200');
    expect(refused.code).toBe(1);
    expect(refused.err).toMatch(/--by.*moon/);
    expect(refused.err).toMatch(/--bottling.*200/);
    expect(refused.err).toMatch(/nowhere\.csv/);
  });
});

describe('jars on paper and on the table', () => {
  it('prints an empty sheet that reads back with its header and as many jars', async () => {
    expect(
      (await run('new --charge-l 55 --charge-percent 29 --jars 22 --still "Old pot" --altitude 420 -o empty.csv')).code,
    ).toBe(0);
    const { sheet, missing } = await json<{ sheet: Sheet; missing: readonly string[] }>('check empty.csv');
    expect(sheet.jars).toHaveLength(22);
    expect(sheet.charge).toMatchObject({ volumeL: 55, strengthVolPercent: 29 });
    expect(sheet.still.name).toBe('Old pot');
    expect(missing.join('\n')).toMatch(/volume is missing in jars 1, 2/);
    expect((await run('derive empty.csv')).code).toBe(1);
  });

  it('refuses an empty sheet without its charge', async () => {
    const refused = await run('new -o no.csv');
    expect(refused.code).toBe(1);
    expect(refused.err).toMatch(/--charge-l.*\n.*--charge-percent/);
    expect(existsSync('no.csv')).toBe(false);
  });

  it('writes labels for the jars and blank ones up to a number', async () => {
    await run('labels pear.csv --up-to 30 -o labels.html');
    const page = readFileSync('labels.html', 'utf8');
    expect(page.match(/<article class="jar">/g)).toHaveLength(30);
    expect(page).not.toMatch(/<script|http/);
  });

  it('pours every jar once, the same for the same seed, and reveals what was behind each number', async () => {
    interface Glasses {
      readonly glasses: readonly { readonly jar: number; readonly hiddenNumber: number }[];
    }
    const { glasses } = await json<Glasses>('glasses pear.csv --order random --seed 7');
    const again = await json<Glasses>('glasses pear.csv --order random --seed 7');
    const other = await json<Glasses>('glasses pear.csv --order random --seed 8');
    expect(glasses).toEqual(again.glasses);
    expect(glasses).not.toEqual(other.glasses);
    expect(glasses.map((one) => one.jar).sort((a, b) => a - b)).toEqual(Array.from({ length: 22 }, (_, i) => i + 1));
    const { jars } = await json<{ jars: Glasses['glasses'] }>('reveal pear.csv --order random --seed 7');
    for (const { jar, hiddenNumber } of jars) {
      expect(glasses.find((one) => one.jar === jar)?.hiddenNumber).toBe(hiddenNumber);
    }
    expect((await run('glasses pear.csv')).err).toMatch(/--seed.*is missing/);
  });

  it('says how two recipes differ, in words', async () => {
    await run('derive pear.csv -o share.json');
    await run('derive pear.csv --by temperature -o temperature.yaml');
    const { out } = await run('diff share.json temperature.yaml');
    expect(out).toMatch(/end of heads: now vapour at least 83\.2 °C/);
    expect((await run('diff share.json share.json')).out).toMatch(/are the same/);
    expect((await run('diff share.json nowhere.json')).code).toBe(1);
  });
});
