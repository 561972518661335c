import { readFileSync, writeFileSync } from 'node:fs';
import { DatabaseSync } from 'node:sqlite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { commands } from '../../daemon/commands';
import { openJournal } from '../../daemon/store';
import { abvFromMassFraction, massFractionFromProof } from '../../lib/physics';
import { header } from '../tools/store-samples';
import { figuresOf, runLine } from './commands-run';
import { dataFolder, good, hostile, recordRun, shortRun, startedAtMs, unlock } from './report-record';

const record = dataFolder();
const day = 86_400_000;
const data = `--data ${record.folder}`;

beforeAll(() => {
  record.use((journal) => {
    recordRun(journal, { runId: 'perry-1', scenario: shortRun, mostS: 2400, startedAtMs });
    recordRun(journal, {
      runId: 'perry-2',
      scenario: shortRun,
      recipe: { name: 'Quince spirit' },
      mostS: 120,
      startedAtMs: startedAtMs + day,
      by: 'Bob',
    });
    recordRun(journal, {
      runId: 'rinse-3',
      scenario: shortRun,
      recipe: { name: `${hostile.name}\u001b[2J`, kind: 'water-test' },
      mostS: 120,
      startedAtMs: startedAtMs + 2 * day,
    });
    recordRun(journal, {
      runId: 'perry-4',
      scenario: shortRun,
      mostS: 1300,
      startedAtMs: startedAtMs + 3 * day,
      leaveOpen: true,
    });
  });
}, 120_000);
afterAll(record.remove);

interface Listed {
  readonly runs: readonly {
    readonly run: string;
    readonly hearts: { readonly volumeL: number; readonly strengthAbv: number; readonly measured: boolean } | null;
    readonly verified?: { readonly kind: string };
  }[];
}

const list = async (options = ''): Promise<string[]> =>
  (await figuresOf<Listed>(`runs ${data} ${options}`)).runs.map(({ run }) => run);

/** A day of the record, as local time has it. */
const localDay = (days: number): string => {
  const date = new Date(startedAtMs + days * day);
  const two = (value: number) => String(value).padStart(2, '0');
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
};

describe('runs', () => {
  it('lists all of them, latest first', async () => {
    expect(await list()).toEqual(['perry-4', 'rinse-3', 'perry-2', 'perry-1']);
    const ran = await runLine(`runs ${data}`);
    expect(ran.out.trimEnd().split('\n')).toHaveLength(6);
    expect(ran.out).toMatch(/perry-1 +2026-05-12 08:00 +orchard +Pear spirit \(white\) +complete +\d\.\d\d +\d\d\.\d/);
    expect(ran.out).toMatch(/perry-4 .* open /);
  });

  it('chooses by still, recipe, kind, outcome, whether open, days and number', async () => {
    expect(await list('--recipe "Quince spirit"')).toEqual(['perry-2']);
    expect(await list('--kind water-test')).toEqual(['rinse-3']);
    expect(await list('--open')).toEqual(['perry-4']);
    expect(await list('--outcome complete --limit 2')).toEqual(['rinse-3', 'perry-2']);
    expect(await list('--still nowhere')).toEqual([]);
    expect(await list(`--since ${localDay(1)}`)).toEqual(['perry-4', 'rinse-3', 'perry-2']);
    expect(await list(`--since ${localDay(1)} --until ${localDay(2)}`)).toEqual(['rinse-3', 'perry-2']);
  });

  it('finds a text in names, outcomes, stills and notes', async () => {
    expect(await list('--text quince')).toEqual(['perry-2']);
    expect(await list('--text perry-4')).toEqual(['perry-4']);
    expect(await list('--text ORCHARD')).toHaveLength(4);
    await runLine(`runs perry-1 --note "very ripe Conference" ${data}`);
    expect(await list('--text conference')).toEqual(['perry-1']);
    expect(await list('--text 100%')).toEqual([]);
  });

  it('prints no name that could move the cursor or ring the bell', async () => {
    const ran = await runLine(`runs ${data}`);
    const one = await runLine(`runs rinse-3 ${data}`);
    for (const unseen of ['\u001b', '\u0007', '\u202e']) {
      expect(ran.out).not.toContain(unseen);
      expect(one.out).not.toContain(unseen);
    }
    expect(ran.out).toContain('<script>alert(1)</script>');
  });

  it('says what is wrong with dates and numbers, all at once', async () => {
    const ran = await runLine(`runs --since yesterday --until 2026-02-30 --limit 0 ${data}`);
    expect(ran.code).toBe(1);
    expect(ran.err).toMatch(/--since.*is no date.*\n.*--until.*is no date.*\n.*--limit/);
    expect((await runLine('runs a b')).code).toBe(2);
    expect((await runLine('runs --colour')).code).toBe(2);
    expect(await runLine('runs --data /nowhere')).toMatchObject({
      code: 1,
      err: expect.stringContaining('no journal'),
    });
    expect((await runLine(`runs perry-1 --text x ${data}`)).err).toContain('chooses among runs');
    expect((await runLine(`runs --measure hearts ${data}`)).code).toBe(2);
  });
});

interface Whole {
  readonly run: string;
  readonly recipe: string;
  readonly recipeHash: string;
  readonly recipeDocument: { readonly name: string; readonly phases: readonly object[] };
  readonly potable: boolean;
  readonly charge: { readonly volumeL: number; readonly alcoholL: number };
  readonly fractions: readonly {
    readonly fraction: string;
    readonly volumeL: { readonly value: number; readonly uncertainty: number; readonly from: string };
    readonly strengthAbv: { readonly value: number; readonly from: string } | null;
  }[];
  readonly balance: { readonly residueAlcoholL: number } | null;
  readonly phases: readonly { readonly to: string; readonly why: string }[];
  readonly orders: readonly { readonly kind: string; readonly by: string; readonly accepted: boolean }[];
  readonly afterRun: {
    readonly revision: number;
    readonly notes: readonly { readonly by: string; readonly text: string }[];
    readonly feints: readonly { readonly usedIn?: string; readonly fractions: readonly string[] }[];
  };
  readonly head: string;
  readonly verified: { readonly kind: string; readonly head: string } | null;
}

const whole = (runId: string, options = '') => figuresOf<Whole>(`runs ${runId} ${data} ${options}`);

describe('one run', () => {
  it('is told whole: recipe, charge, fractions, phases, orders, chain', async () => {
    const run = await whole('perry-1', '--verify');
    const detail = record.use((journal) => good(journal.run('perry-1')), true);
    expect(run).toMatchObject({ run: 'perry-1', recipe: 'Pear spirit', recipeHash: detail.recipeHash, potable: true });
    expect(run.recipeDocument).toEqual(detail.plant.recipe);
    expect(run.charge).toMatchObject({ volumeL: 30, alcoholL: expect.closeTo(8.7, 6) });
    expect(run.fractions.map(({ fraction }) => fraction)).toEqual(['foreshots', 'heads', 'hearts']);
    expect(run.phases.map(({ to }) => to)).toEqual(['heat-up', 'foreshots', 'heads', 'hearts']);
    expect(run.orders[0]).toMatchObject({ kind: 'start', by: 'Ada', accepted: true });
    expect(run.verified).toMatchObject({ kind: 'whole', head: detail.head });
  });

  it('is told as text with its balance, its cautions, and how the chain was found', async () => {
    const ran = await runLine(`runs perry-1 --verify ${data}`);
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/charge +30\.00 L, 29\.0 % vol = 8\.70 L pure alcohol/);
    expect(ran.out).toMatch(/Pure alcohol: charged 8\.70 L, came over \d\.\d\d L, residue not measured/);
    expect(ran.out).toContain('Verified: every reading, decision and summary is as it was written.');
    expect(ran.out).toContain('heads → hearts');
    expect((await runLine(`runs perry-1 ${data}`)).out).toContain('Not verified');
  });

  it('says never potable of a run that gives no product', async () => {
    expect((await runLine(`runs rinse-3 ${data}`)).out).toMatch(/^NEVER POTABLE/);
  });

  it('that is open is told as far as it has come', async () => {
    const run = await whole('perry-4');
    expect(run.fractions.find(({ fraction }) => fraction === 'heads')?.volumeL.value).toBeGreaterThan(0);
  });

  it('that is not there is said not to be there', async () => {
    expect(await runLine(`runs nobody ${data}`)).toMatchObject({
      code: 1,
      err: expect.stringContaining('no run nobody'),
    });
  });
});

describe('what is measured afterwards', () => {
  it('takes the place of what was estimated, on any scale', async () => {
    await runLine(`runs perry-2 --measure hearts --volume 8.1L --strength 73.9% --by Ada ${data}`);
    const percent = (await whole('perry-2')).fractions.find(({ fraction }) => fraction === 'hearts');
    expect(percent).toMatchObject({ volumeL: { value: 8.1, uncertainty: 0.0405, from: 'hand' } });
    expect(percent?.strengthAbv?.value).toBeCloseTo(0.739, 6);
    await runLine(`runs perry-2 --measure hearts --strength 148proof --volume-error 0.2L ${data}`);
    const proof = (await whole('perry-2')).fractions.find(({ fraction }) => fraction === 'hearts');
    // 148 US proof is 74 % vol at 60 °F by definition; at 20 °C less than 0.1 % vol from that.
    expect(proof?.strengthAbv?.value).toBeCloseTo(abvFromMassFraction(massFractionFromProof(148)), 9);
    expect(Math.abs((proof?.strengthAbv?.value ?? 0) - 0.74)).toBeLessThan(0.001);
    expect(proof).toMatchObject({ volumeL: { value: 8.1, uncertainty: 0.2 } });
    const listed = await figuresOf<Listed>(`runs ${data} --text perry-2`);
    expect(listed.runs[0]?.hearts).toMatchObject({ volumeL: 8.1, measured: true });
  });

  it('closes the balance with the residue, and can be taken back', async () => {
    await runLine(`runs perry-1 --measure residue --volume 26L --strength 20.5% --temp 24C ${data}`);
    expect((await whole('perry-1')).balance?.residueAlcoholL).toBeCloseTo(26 * 0.205, 1);
    await runLine(`runs perry-1 --measure residue --withdraw ${data}`);
    expect((await whole('perry-1')).balance?.residueAlcoholL).toBe(0);
  });

  it('changes nothing of the run itself, and every entry is kept with who made it', async () => {
    const before = record.use((journal) => good(journal.run('perry-1')), true);
    await runLine(`runs perry-1 --note "cloudy at 41 %" --by Bob ${data}`);
    const revisions = record.use((journal) => good(journal.revisions('after-run', 'perry-1')), true);
    expect(revisions.at(-1)).toMatchObject({ savedBy: 'Bob' });
    expect(revisions.map(({ revision }) => revision)).toEqual(revisions.map((_one, index) => index + 1));
    expect(record.use((journal) => good(journal.run('perry-1')), true)).toEqual(before);
    expect((await whole('perry-1', '--verify')).verified?.kind).toBe('whole');
  });

  it('is refused with everything that is wrong with it', async () => {
    const refused = async (options: string) => {
      const ran = await runLine(`runs perry-1 ${options} ${data}`);
      expect(ran.code, options).toBe(1);
      return ran.err;
    };
    const { revision } = (await whole('perry-1')).afterRun;
    expect(await refused('--measure heart --volume 1L')).toContain('Use one of charge, foreshots');
    expect(await refused('--measure hearts')).toContain('Give --volume, --strength or both');
    expect(await refused('--measure hearts --volume 8 --strength 740%')).toMatch(
      /--volume.*has no unit[\s\S]*--strength/,
    );
    expect(await refused('--measure hearts --volume 8L --temp 90C')).toContain('--temp');
    expect(await refused('--keep feints --volume 1L')).toMatch(/--keep.*is no fraction[\s\S]*--strength/);
    expect(await refused('--note x --keep tails')).toContain('Enter one thing at a time');
    expect((await whole('perry-1')).afterRun.revision).toBe(revision);
  });
});

describe('feints', () => {
  it('are kept for a later charge, listed over all runs, and gone once they were charged', async () => {
    await runLine(`runs perry-1 --keep heads,tails --volume 4.2L --strength 49% --where "blue can" ${data}`);
    await runLine(`runs perry-2 --keep tails --volume 1L --strength 40% ${data}`);
    const all = await figuresOf<{ feints: { run: string; alcoholL: number; where?: string }[] }>(
      `runs --feints ${data}`,
    );
    expect(all.feints).toMatchObject([
      { run: 'perry-1', alcoholL: expect.closeTo(2.058, 3), where: 'blue can' },
      { run: 'perry-2', alcoholL: expect.closeTo(0.4, 3) },
    ]);
    expect((await runLine(`runs --feints ${data}`)).out).toMatch(/together +2\.46/);
    expect((await runLine(`runs perry-1 --used-in perry-9 ${data}`)).err).toContain('no run perry-9');
    expect((await runLine(`runs perry-1 --used-in perry-4 --number 7 ${data}`)).err).toContain('--number');
    await runLine(`runs perry-1 --used-in perry-4 ${data}`);
    expect((await whole('perry-1')).afterRun.feints[0]?.usedIn).toBe('perry-4');
    expect((await runLine(`runs perry-1 --used-in perry-4 ${data}`)).err).toContain('no feints of this run are kept');
    const left = await figuresOf<{ feints: { run: string }[] }>(`runs --feints ${data}`);
    expect(left.feints.map(({ run }) => run)).toEqual(['perry-2']);
  });

  it('are not kept of a run that gives no product', async () => {
    const ran = await runLine(`runs rinse-3 --keep tails --volume 1L --strength 1% ${data}`);
    expect(ran).toMatchObject({ code: 1, err: expect.stringContaining('nothing that may be charged again') });
  });
});

describe('while the daemon writes', () => {
  it('something can be entered beside an older run, and neither is in the way of the other', async () => {
    const writing = record.open();
    const rig = recordRun(writing, { runId: 'perry-5', scenario: shortRun, mostS: 120, leaveOpen: true });
    expect((await runLine(`runs perry-1 --note "entered meanwhile" ${data}`)).code).toBe(0);
    rig.run(120);
    expect(writing.flush()).toMatchObject({ kind: 'ok' });
    expect(good(writing.run('perry-5')).scans).toBe(240);
    writing.close();
    expect((await whole('perry-1')).afterRun.notes.at(-1)?.text).toBe('entered meanwhile');
    expect((await whole('perry-5', '--verify')).verified?.kind).toBe('whole');
  });
});

describe('a changed record', () => {
  const broken = dataFolder();
  afterAll(broken.remove);

  it('is found by its chain, which names the place; the list says so too', async () => {
    broken.use((journal) => {
      recordRun(journal, { runId: 'r1', scenario: shortRun, mostS: 600 });
      recordRun(journal, { runId: 'r2', scenario: shortRun, mostS: 600, seed: 2 });
    });
    const file = new DatabaseSync(broken.file);
    unlock(file);
    // One digit of one threshold of one decision, as somebody would who wants a cut to look better.
    const row = file.prepare("SELECT rowid, body FROM decisions WHERE run = 1 AND body LIKE '%heat-up%' LIMIT 1").get();
    file
      .prepare('UPDATE decisions SET body = ? WHERE rowid = ?')
      .run(String(row?.body).replace('heat-up', 'heat-uq'), Number(row?.rowid));
    file.close();
    const one = await runLine(`runs r1 --verify --data ${broken.folder}`);
    expect(one.code).toBe(1);
    expect(one.out).toMatch(
      /The record was changed or damaged: link \d+ \(decision \d+\): decision \d+ was changed after/,
    );
    const all = await runLine(`runs --verify --data ${broken.folder}`);
    expect(all.code).toBe(1);
    expect(all.out).toMatch(/r2 .*record whole/);
    expect(all.out).toMatch(/r1 .*RECORD BROKEN at link \d+/);
    expect((await runLine(`report r1 --out ${broken.folder}/r1.html --data ${broken.folder}`)).code).toBe(1);
    const thinned = await runLine(`thin --before 2027-01-01 --yes --json --data ${broken.folder}`);
    expect(JSON.parse(thinned.out)).toMatchObject({ runs: [{ run: 'r2' }], problems: [{ path: 'r1' }] });
    expect(thinned.code).toBe(1);
  }, 60_000);

  it('does not hide the runs where only what was entered beside them was changed', async () => {
    await runLine(`runs r1 --note "cloudy" --data ${broken.folder}`);
    const file = new DatabaseSync(broken.file);
    unlock(file);
    file.exec("UPDATE documents SET body = replace(body, 'cloudy', 'bright')");
    file.close();
    const ran = await runLine(`runs --data ${broken.folder}`);
    expect(ran.code).toBe(1);
    expect(ran.out).toMatch(/r2[\s\S]*r1/);
    expect(ran.err).toContain('revision 1 of after-run r1 was changed or damaged');
    const one = await runLine(`runs r1 --data ${broken.folder}`);
    expect(one.out).toContain('Part of the record could not be read: revision 1 of after-run r1');
  }, 60_000);

  it('lists the rest and marks the run whose summary cannot be read any more', async () => {
    const file = new DatabaseSync(broken.file);
    unlock(file);
    const { summary } = file.prepare("SELECT summary FROM runs WHERE id = 'r1'").get() as { summary: string };
    const set = file.prepare("UPDATE runs SET summary = ? WHERE id = 'r1'");
    set.run(summary.slice(0, 40));
    const ran = await runLine(`runs --data ${broken.folder}`);
    expect(ran.out).toMatch(/r2 /);
    expect(ran.out).toMatch(/r1 .*SUMMARY DAMAGED/);
    expect((await runLine(`runs r1 --data ${broken.folder}`)).out).toContain('the summary of run r1');
    expect((await runLine(`report r1 --out ${broken.folder}/r1.html --data ${broken.folder}`)).out).toContain(
      'r1.html',
    );
    set.run(summary);
    file.close();
  }, 60_000);

  it('lists the rest where the summary of one lies on a page that is damaged', () => {
    const long = dataFolder();
    try {
      long.use((journal) => {
        for (const [index, runId] of ['a', 'b', 'c'].entries()) {
          good(journal.beginRun({ ...header(runId), startedAtMs: startedAtMs + index }));
          journal.endRun(runId, 'complete', { note: runId.repeat(runId === 'b' ? 20_000 : 10) });
        }
      });
      const file = new DatabaseSync(long.file);
      file.exec('PRAGMA wal_checkpoint(TRUNCATE)');
      const { size } = file.prepare('SELECT page_size AS size FROM pragma_page_size').get() as { size: number };
      const { page } = file
        .prepare("SELECT min(pageno) AS page FROM dbstat WHERE name = 'runs' AND pagetype = 'overflow'")
        .get() as { page: number };
      file.close();
      // An overflow page begins with the number of the next one (sqlite.org/fileformat.html, 1.6): there is no such page.
      const bytes = readFileSync(long.file);
      bytes.writeUInt32BE(0x7fffffff, (page - 1) * size);
      writeFileSync(long.file, bytes);
      const journal = good(openJournal(long.file, { readOnly: true, check: 'none' }));
      const listed = good(journal.runs());
      journal.close();
      expect(listed.map(({ runId, damaged }) => [runId, damaged])).toEqual([
        ['c', false],
        ['b', true],
        ['a', false],
      ]);
    } finally {
      long.remove();
    }
  });

  it('is found when a byte of its readings was changed', async () => {
    broken.use((journal) => recordRun(journal, { runId: 'r3', scenario: shortRun, mostS: 600 }));
    const file = new DatabaseSync(broken.file);
    const row = file
      .prepare('SELECT chunk, bytes FROM readings WHERE chunk IN (SELECT number FROM chunks WHERE run = 3 AND seq = 4)')
      .get();
    const bytes = Uint8Array.from(row?.bytes as Uint8Array);
    bytes[bytes.length >> 1]! ^= 1;
    file.prepare('UPDATE readings SET bytes = ? WHERE chunk = ?').run(bytes, Number(row?.chunk));
    file.close();
    const one = await runLine(`runs r3 --verify --data ${broken.folder}`);
    expect(one.code).toBe(1);
    expect(one.out).toMatch(/\(chunk 4\)/);
  }, 60_000);
});

describe.each(['runs', 'export', 'report', 'thin'])('help of %s', (name) => {
  it('fits a terminal and names every option the command takes', async () => {
    const { help } = await commands[name]!.load();
    for (const line of help.split('\n')) expect(line.length, line).toBeLessThanOrEqual(120);
    const refused = await runLine(`${name} --no-such-option`);
    expect(refused.code).toBe(2);
    const options = [...refused.err.matchAll(/--[a-z-]+/g)].map(([option]) => option);
    for (const option of options) if (!/^--(help|no-such-option)$/.test(option)) expect(help, option).toContain(option);
  });
});
