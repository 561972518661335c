import { DatabaseSync } from 'node:sqlite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeReport, readStory, reportOf, saveAfterRun } from '../../daemon/report';
import { nothingAfter } from '../../daemon/report/after-run';
import { compareRuns } from '../../lib/compare';
import { english } from '../../lib/words';
import { dataFolder, good, hostile, recordRun, shortRun, startedAtMs, unlock } from './report-record';

const record = dataFolder();
const spirit = 'orchard-20260512-080000';
const water = 'orchard-water';
const open = 'orchard-open';
const options = { saying: english, madeAtMs: startedAtMs };

beforeAll(() => {
  record.use((journal) => {
    recordRun(journal, {
      runId: spirit,
      scenario: shortRun,
      faults: [{ fault: 'coolant-lost', fromS: 2600, untilS: 2700 }],
      operator: { acknowledgesAfterS: 30, resumesAfterS: 120, attendsEveryS: 600 },
      orders: [
        { atS: 1500, kind: 'note', by: 'Bob', text: hostile.note },
        { atS: 1600, kind: 'next-jar', by: hostile.by },
        { atS: 1700, kind: 'acknowledge', by: 'Bob', target: '<b>none</b>' },
      ],
    });
    recordRun(journal, {
      runId: water,
      scenario: shortRun,
      recipe: { name: hostile.name, about: hostile.about, kind: 'water-test' },
      still: { name: hostile.name },
      by: hostile.by,
      mostS: 900,
    });
    recordRun(journal, { runId: open, scenario: shortRun, mostS: 2400, leaveOpen: true });
  });
}, 120_000);
afterAll(record.remove);

const made = new Map<string, string>();

/** Reports are made once: the record is read only, but for the one test that says so. */
function report(runId: string, saying = english): string {
  const key = `${runId} ${saying.temperature}`;
  const known = made.get(key);
  if (known !== undefined) return known;
  const html = record.use((journal) => good(makeReport(journal, runId, { ...options, saying })), true);
  made.set(key, html);
  return html;
}

/** Text as a reader sees it, tags taken out. */
const textOf = (html: string): string =>
  html
    .replace(/<style>[\s\S]*?<\/style>/g, '')
    .replace(/<\/?(bdi|b)>/g, '')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&quot;/g, '"')
    .replace(/&#39;/g, "'")
    .replace(/&amp;/g, '&')
    .replace(/[\s\u00a0]+/g, ' ');

/** The rows of a section's table, cell by cell. */
function rowsOf(html: string, id: string): string[][] {
  const section = new RegExp(`<section id="${id}">([\\s\\S]*?)</section>`).exec(html)?.[1] ?? '';
  const body = /<tbody>([\s\S]*?)<\/tbody>/.exec(section)?.[1] ?? '';
  return [...body.matchAll(/<tr>([\s\S]*?)<\/tr>/g)].map(([, row = '']) =>
    [...row.matchAll(/<td[^>]*>([\s\S]*?)<\/td>/g)].map(([, cell = '']) => textOf(cell).trim()),
  );
}

describe('the report of a run', () => {
  it('is one file: nothing in it runs, and nothing is loaded from anywhere', () => {
    for (const runId of [spirit, water, open]) {
      const html = report(runId);
      expect(html).not.toMatch(/<(script|iframe|img|link|object|embed|base|form|a|svg onload)\b(?! class)/i);
      expect(html).not.toMatch(/<[^>]*\b(src|href|action|style)=/);
      expect(html).not.toMatch(/<[^>]*\son\w+=/);
      expect(html).not.toMatch(/@import|url\((?!#)/);
      expect(html).toContain('default-src &#39;none&#39;');
    }
  });

  it('says what was run: still, recipe, variant, hash, charge, dates and who', () => {
    const text = textOf(report(spirit));
    const { recipeHash } = record.use((journal) => good(journal.run(spirit)), true);
    for (const said of [spirit, 'The orchard still', 'Pear spirit, revision 1', 'white', recipeHash ?? '?']) {
      expect(text).toContain(said);
    }
    expect(text).toContain('30.00 L, 29.0 % vol = 8.70 L pure alcohol');
    expect(text).toContain('Started by Ada; also gave orders: Bob');
    expect(text).not.toContain('Never potable');
    expect(text).not.toContain('Simulated, or run in fast time');
  });

  it('lists every change of phase of the record with its reading, its limits and its reason', () => {
    const phases = record.use((journal) => good(readStory(journal, spirit)).told.phases, true);
    const rows = rowsOf(report(spirit), 'cuts');
    expect(rows).toHaveLength(phases.length);
    const tails = rows.find((row) => row[2]?.includes('tails') && row[2].includes('hearts →'));
    expect(tails?.[5]).toBe('90.2 °C');
    expect(tails?.at(-1)).toMatch(
      /^vapour 8\d\.\d °C at or above 8\d\.\d °C \(90\.2 °C at 1013 hPa; air 9\d\d hPa\) for 4\d s$/,
    );
    expect(rows.map(([letter]) => letter).join('')).toBe('ABCDEFGHIJ'.slice(0, rows.length));
  });

  it('draws vapour and boiler as read and at the reference pressure, the air pressure, the heat and the alarms', () => {
    const html = report(spirit);
    const svg = /<svg class="course"[\s\S]*?<\/svg>/.exec(html)?.[0] ?? '';
    for (const kind of ['vapour', 'vapour at-reference', 'boiler', 'boiler at-reference', 'air', 'heat', 'commanded']) {
      expect(svg, kind).toMatch(new RegExp(`<path class="curve ${kind}" d="M[\\d. LMHV-]+"`));
    }
    expect(svg).toContain('class="alarm-mark"');
    expect(svg.match(/class="cut"/g)?.length).toBe(rowsOf(html, 'cuts').length);
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('tells the alarm with its answer, the orders with who and what came of them, and leaves attendance out', () => {
    const html = report(spirit);
    const alarms = rowsOf(html, 'alarms');
    expect(alarms.length).toBeGreaterThanOrEqual(1);
    expect(alarms.some((row) => /coolant/.test(row[1] ?? '') && /by Ada/.test(row[4] ?? ''))).toBe(true);
    const orders = rowsOf(html, 'orders');
    expect(orders.find((row) => row[2]?.startsWith('note'))).toMatchObject({ 1: expect.stringMatching(/^Bob/) });
    expect(orders.find((row) => row[2]?.includes('<b>none</b>'))?.[3]).toMatch(/^refused/);
    expect(orders.some((row) => row[2]?.includes('attend'))).toBe(false);
    expect(textOf(html)).toMatch(/\d answers of the attendance check/);
  });

  it('lists decisions and commands with their reasons, drives in words', () => {
    const decisions = rowsOf(report(spirit), 'decisions').map((row) => row.at(-1));
    expect(decisions).toContain('heat 80 %: hearts, running');
    expect(decisions).toContain('coolant on: heat-up, running');
    expect(decisions.some((text) => /^hearts-valve open: hearts into/.test(text ?? ''))).toBe(true);
    expect(decisions.some((text) => /^running → held: tripped by/.test(text ?? ''))).toBe(true);
    expect(decisions.at(-1)).toMatch(/^end of the record of this run, 2026-05-12/);
  });

  it('agrees with the summary of the record on every fraction, and closes the balance', () => {
    const summary = record.use((journal) => good(journal.run(spirit)).summary, true) as {
      fractions: { fraction: string; volumeL: number }[];
    };
    const rows = rowsOf(report(spirit), 'fractions');
    for (const { fraction, volumeL } of summary.fractions) {
      expect(rows.find(([name]) => name === fraction)?.[1]).toMatch(new RegExp(`^${volumeL.toFixed(2)} L ±`));
    }
    expect(rows.at(-1)?.[0]).toBe('Together');
    expect(rowsOf(report(spirit), 'balance')[0]).toEqual(['Charge', '8.70 L', '100.0 %']);
  });

  it('says head and length of the chain, and that it was verified', () => {
    const verified = record.use((journal) => good(journal.verify(spirit)), true);
    const text = textOf(report(spirit));
    expect(verified.kind).toBe('whole');
    if (verified.kind === 'whole') expect(text).toContain(verified.head);
    expect(text).toContain('Verified: every reading, decision and summary is as it was written.');
    const unverified = record.use((journal) => good(makeReport(journal, spirit, { ...options, verify: false })), true);
    expect(textOf(unverified)).toContain('Not verified for this report, so that the stills need not wait');
  });

  it('speaks in Fahrenheit where that was asked', () => {
    const text = textOf(report(spirit, { ...english, temperature: 'F' }));
    expect(text).toContain('194.4 °F'); // 90.2 °C
    expect(text).not.toMatch(/\d °C at or above/);
    const svg = /<svg class="course"[\s\S]*?<\/svg>/.exec(report(spirit, { ...english, temperature: 'F' }))?.[0] ?? '';
    expect(svg).toContain('°F');
  });
});

describe('a run that gives no product', () => {
  it('is marked never potable at its top', () => {
    const text = textOf(report(water));
    expect(text.indexOf('Never potable')).toBeGreaterThan(0);
    expect(text.indexOf('Never potable')).toBeLessThan(text.indexOf('Course of the run'));
  });
});

describe('names from outside', () => {
  it('stand in the report as they are, as text and nothing else', () => {
    const html = report(water);
    expect(html).not.toContain('<script>alert');
    expect(textOf(html)).toContain(hostile.name);
    expect(textOf(html)).toContain(hostile.by);
    expect(textOf(report(spirit))).toContain(hostile.note);
    for (const unseen of ['\u202e', '\u0007']) expect(html).not.toContain(unseen);
  });

  it('do not end the list of the recipe either', () => {
    expect(report(water).match(/<\/pre>/g)).toHaveLength(1);
    expect(report(water).match(/<\/style>/g)).toHaveLength(1);
  });
});

describe('a run without an end', () => {
  it('is told as far as it has come, and says that it is open', () => {
    const text = textOf(report(open));
    expect(text).toContain('This run has no end in the record yet');
    const rows = rowsOf(report(open), 'fractions');
    expect(rows.map(([name]) => name)).toContain('hearts');
  });
});

describe('what was measured afterwards', () => {
  it('stands in the place of the estimate, with the estimate below it', () => {
    const journal = record.open();
    const who = { by: hostile.by, atMs: startedAtMs };
    good(
      saveAfterRun(
        journal,
        open,
        nothingAfter,
        {
          afterRun: 1,
          measured: { hearts: { volumeL: 3.21, strengthAbv: 0.745, tempC: 20, ...who } },
          feints: [{ fractions: ['heads'], volumeL: 0.4, strengthAbv: 0.8, where: hostile.name, ...who }],
          notes: [{ text: hostile.note, ...who }],
        },
        'Ada',
      ),
    );
    journal.close();
    made.clear();
    const html = report(open);
    const hearts = rowsOf(html, 'fractions').find(([name]) => name === 'hearts');
    expect(hearts?.[1]).toBe('3.21 L ± 0.02');
    expect(hearts?.[2]).toBe('74.5 % ± 0.2');
    expect(hearts?.[5]).toMatch(/^measured by hand during the run: \d/);
    expect(rowsOf(html, 'feints')[0]?.[4]).toBe(hostile.name);
    expect(rowsOf(html, 'notes')[0]?.[2]).toBe(hostile.note);
    expect(html).not.toMatch(/<(script|svg onload|img|iframe)/);
  });
});

describe('a comparison', () => {
  it('has its place in the report once there is one, with its findings in words', () => {
    const story = record.use((journal) => good(readStory(journal, spirit, { minutes: true })), true);
    const run = (id: string, heartsL: number) => ({
      id,
      charge: { volumeL: 30, strengthAbv: 0.29 },
      heaterW: 5000,
      strengthBy: 'vapour-temp' as const,
      referenceHPa: 1013.25,
      points: [],
      fractions: [{ fraction: 'hearts' as const, volumeL: heartsL, strengthAbv: 0.74, alcoholL: heartsL * 0.74 }],
    });
    const [reference, other] = [run('<i>first</i>', 8), run(spirit, 7.6)];
    const comparison = compareRuns(reference, other);
    const html = reportOf({ ...story, beside: { kind: 'compared', comparison, reference, run: other } }, options);
    expect(textOf(html)).toContain('Compared with <i>first</i>');
    expect(rowsOf(html, 'compared')[0]?.slice(0, 4)).toEqual(['hearts', '0.874 L/L', '0.920 L/L', '\u22125.0 %']);
    expect(textOf(html)).toContain('hearts: 5.0 % less volume per litre of alcohol charged');
    expect(textOf(html)).toContain('predictions of the model, not measurements');
    expect(report(spirit)).not.toContain('id="compared"');
  });
});

describe('speed', () => {
  it('a report of a run with its chain verified takes well under two seconds', () => {
    record.use((journal) => {
      good(makeReport(journal, spirit, options));
      const before = performance.now();
      good(makeReport(journal, spirit, options));
      expect(performance.now() - before).toBeLessThan(1500);
    }, true);
  });
});

describe('a damaged record', () => {
  it('is reported as far as it can be read, and says what cannot', () => {
    const damagedRecord = dataFolder();
    try {
      damagedRecord.use((journal) => recordRun(journal, { runId: 'r1', scenario: shortRun, mostS: 1500 }));
      const file = new DatabaseSync(damagedRecord.file);
      unlock(file);
      file.exec(`UPDATE decisions SET body = '{"kind":"ev' WHERE seq = 8`);
      file.exec(`UPDATE chunks SET summary = x'0102' WHERE seq = 20`);
      file.close();
      const html = damagedRecord.use((journal) => good(makeReport(journal, 'r1', options)), true);
      const text = textOf(html);
      expect(text).toContain('Part of the record could not be read: decision 8 in the journal cannot be read any more');
      expect(text).toContain('a minute summary of run r1 is damaged');
      expect(text).toMatch(/The record was changed or damaged: link \d+ \(decision 8\)/);
      // What stands before the damage is told.
      expect(rowsOf(html, 'cuts').length).toBeGreaterThanOrEqual(1);
      expect(html).toContain('class="curve vapour"');
    } finally {
      damagedRecord.remove();
    }
  });
});
