import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { needs } from '../tools/need';
import { runLine } from '../unit/commands-run';
import { dataFolder, hostile, recordRun, shortRun } from '../unit/report-record';

const record = dataFolder();
const spirit = join(record.folder, 'orchard-1.html');
const water = join(record.folder, 'water-2.html');

/** Overlap of texts in a drawing: pairs whose boxes cover one another by more than a hair. */
function overlappingTexts(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const texts = [...document.querySelectorAll('svg.course text:not(.halo)')].map((text) => ({
      what: text.textContent ?? '',
      box: text.getBoundingClientRect(),
    }));
    const found: string[] = [];
    for (const [index, one] of texts.entries()) {
      for (const other of texts.slice(index + 1)) {
        const wide = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
        const high = Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top);
        if (wide > 1 && high > 5) found.push(`${one.what} | ${other.what}`);
      }
    }
    return found;
  });
}

/** Texts of a drawing that stick out of it. */
function cutOffTexts(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll('svg')].flatMap((svg) => {
      const whole = svg.getBoundingClientRect();
      return [...svg.querySelectorAll('text')].flatMap((text) => {
        const box = text.getBoundingClientRect();
        const isOut = box.left < whole.left - 1 || box.right > whole.right + 1 || box.bottom > whole.bottom + 1;
        return isOut ? [text.textContent ?? ''] : [];
      });
    }),
  );
}

/** Sizes of the pages of a PDF [mm], from its page objects. */
function pagesOf(pdf: Buffer): readonly (readonly [number, number])[] {
  const text = pdf.toString('latin1');
  return [...text.matchAll(/\/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)\s*\]/g)].map(
    ([, width, height]) => [(Number(width) / 72) * 25.4, (Number(height) / 72) * 25.4] as const,
  );
}

describe.skipIf(!needs('chromium'))('the report in a browser', () => {
  let browser: Browser;
  const asked: string[] = [];
  const said: string[] = [];

  beforeAll(async () => {
    record.use((journal) => {
      recordRun(journal, { runId: 'first-0', scenario: shortRun });
      recordRun(journal, {
        runId: 'orchard-1',
        recipe: { developedFrom: { run: 'first-0' } },
        faults: [
          { fault: 'dropout', target: 'vapour-temp', fromS: 6000, untilS: 6150 },
          { fault: 'coolant-lost', fromS: 9000, untilS: 9100 },
        ],
        operator: { acknowledgesAfterS: 30, resumesAfterS: 120 },
        orders: [{ atS: 5000, kind: 'note', by: hostile.by, text: hostile.note }],
      });
      recordRun(journal, {
        runId: 'water-2',
        recipe: { name: `${hostile.name}${'x'.repeat(20)}`, about: hostile.about.repeat(20), kind: 'water-test' },
        still: { name: 'W'.repeat(80) },
        by: hostile.by,
        mostS: 3000,
      });
    });
    for (const [runId, file] of [
      ['orchard-1', spirit],
      ['water-2', water],
    ] as const) {
      const made = await runLine(`report ${runId} --out ${file} --data ${record.folder}`);
      expect(made.code, made.err).toBe(0);
    }
    browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox'] });
  }, 180_000);
  afterAll(async () => {
    await browser?.close();
    record.remove();
  });

  async function openPage(file: string, width: number): Promise<Page> {
    const page = await browser.newPage({ viewport: { width, height: 900 } });
    page.on('request', (request) => asked.push(request.url()));
    page.on('console', (message) => said.push(message.text()));
    page.on('dialog', (dialog) => {
      said.push(`dialog: ${dialog.message()}`);
      void dialog.dismiss();
    });
    await page.goto(`file://${file}`);
    return page;
  }

  it.each([spirit, water])('%s asks for nothing, runs nothing and says nothing', async (file) => {
    asked.length = 0;
    said.length = 0;
    const page = await openPage(file, 1000);
    expect(asked).toEqual([`file://${file}`]);
    expect(said).toEqual([]);
    expect(await page.locator('script, img, iframe, a, form, link').count()).toBe(0);
    expect(await page.locator('svg').evaluateAll((all) => all.every((svg) => svg.className !== ''))).toBe(true);
    await page.close();
  });

  it.each([390, 820, 1280])('fits a screen %i pixels wide, long names and all', async (width) => {
    for (const file of [spirit, water]) {
      const page = await openPage(file, width);
      const wide = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(wide, file).toBeLessThanOrEqual(0);
      await page.close();
    }
  });

  it('draws its plots with every label readable: none over another, none cut off', async () => {
    for (const file of [spirit, water]) {
      const page = await openPage(file, 1000);
      expect(await overlappingTexts(page)).toEqual([]);
      expect(await cutOffTexts(page)).toEqual([]);
      const drawn = await page
        .locator('svg.course path.curve')
        .evaluateAll(
          (paths) =>
            paths.map((path) => path.getBoundingClientRect()).filter(({ width, height }) => width > 100 || height > 20)
              .length,
        );
      expect(drawn).toBeGreaterThanOrEqual(5);
      await page.close();
    }
  });

  it('draws the run over the one its recipe came from, with bars where it left the envelope, and says so in words', async () => {
    const page = await openPage(spirit, 1000);
    const compared = page.locator('#compared');
    await expect(compared.locator('h2').textContent()).resolves.toBe('Compared with first-0');
    expect(await compared.locator('path.curve').count()).toBe(10);
    // The other run was heated twice as much: its take-off is outside from end to end.
    const wide = (where: string) =>
      compared
        .locator(where)
        .last()
        .evaluate((one) => one.getBoundingClientRect().width);
    expect(await wide('svg g .outside')).toBeGreaterThan(0.8 * (await wide('svg .frame')));
    await expect(compared.locator('ul').first().textContent()).resolves.toMatch(/take-off slower than the envelope/);
    await page.close();
  });

  it('has words as dark as print wants them: at least 7 to 1 against the paper', async () => {
    const page = await openPage(spirit, 1000);
    const ratios = await page.evaluate(() => {
      const luminance = (colour: string): number => {
        const [r = 0, g = 0, b = 0] = (colour.match(/[\d.]+/g) ?? []).slice(0, 3).map((value) => {
          const share = Number(value) / 255;
          return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
      };
      const texts = [...document.querySelectorAll('p, td, th, dt, dd, h1, h2, svg text:not(.halo)')];
      return texts.map((text) => {
        const style = getComputedStyle(text);
        return 1.05 / (luminance(text instanceof SVGElement ? style.fill : style.color) + 0.05);
      });
    });
    // WCAG 2.2, 1.4.6 (enhanced contrast).
    expect(Math.min(...ratios)).toBeGreaterThanOrEqual(7);
    await page.close();
  });

  it('prints on A4, nothing wider than the paper, the plots whole on one page', async () => {
    const page = await openPage(spirit, 794);
    const pdf = await page.pdf({ preferCSSPageSize: true });
    const pages = pagesOf(pdf);
    expect(pages.length).toBeGreaterThanOrEqual(3);
    expect(pages.length).toBeLessThanOrEqual(9);
    for (const [widthMm, heightMm] of pages) {
      expect(widthMm).toBeCloseTo(210, 0);
      expect(heightMm).toBeCloseTo(297, 0);
    }
    await page.emulateMedia({ media: 'print' });
    // The width that is left between the margins of A4, in CSS pixels.
    await page.setViewportSize({ width: Math.floor((180 / 25.4) * 96), height: 1000 });
    const layout = await page.evaluate(() => ({
      wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
      plotHeight: document.querySelector('svg.course')?.getBoundingClientRect().height ?? 0,
      breaks: getComputedStyle(document.querySelector('svg.course') as Element).breakInside,
    }));
    expect(layout.wide).toBeLessThanOrEqual(0);
    expect(layout.plotHeight).toBeLessThan((267 / 25.4) * 96);
    expect(layout.breaks).toBe('avoid');
    await page.close();
  });

  it('marks the water test as never potable where nobody can miss it', async () => {
    const page = await openPage(water, 1000);
    const stamp = page.locator('.stamp strong');
    await expect(stamp.textContent()).resolves.toMatch(/never potable/i);
    const box = await stamp.boundingBox();
    expect(box?.y).toBeLessThan(900);
    expect(readFileSync(spirit, 'utf8')).not.toContain('class="stamp"');
    await page.close();
  });
});
