import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { createSheets } from '../../daemon/page';
import { openJournal, valueOrThrow } from '../../daemon/store';
import { freePort } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { complaints, type Look, openBrowser, openDevice, picture } from './page-browser';

const phone: Look = { width: 390, height: 844, scheme: 'dark' };
const tablet: Look = { width: 1024, height: 768, scheme: 'light' };

describe.skipIf(!needs('chromium'))('page: jar sheets', () => {
  let browser: Browser;
  let directory: string;
  let path: string;
  let port: number;
  let served: ChildProcess | null = null;
  const contexts: BrowserContext[] = [];
  beforeAll(async () => {
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser.close();
  });
  beforeEach(async () => {
    directory = mkdtempSync(join(tmpdir(), 'middlecut-page-'));
    path = join(directory, 'journal.db');
    port = await freePort();
    await serve();
  });
  afterEach(async () => {
    for (const context of contexts.splice(0)) await context.close();
    await kill();
    rmSync(directory, { recursive: true, force: true });
  });

  async function serve(): Promise<void> {
    const hooks = join(process.cwd(), 'tests/tools/typescript-hooks.mjs');
    const script = join(process.cwd(), 'tests/real/page-served.ts');
    served = spawn(process.execPath, ['--import', hooks, script, path, String(port)], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    await once(served.stdout ?? served, 'data');
  }
  /** As a power cut: no warning. */
  async function kill(): Promise<void> {
    if (served === null || served.exitCode !== null) return;
    const gone = once(served, 'close');
    served.kill('SIGKILL');
    await gone;
    served = null;
  }
  const url = () => `http://127.0.0.1:${port}/`;

  async function open(look: Look, at: string) {
    const opened = await openDevice(browser, `${url()}${at}`, look);
    contexts.push(opened.context);
    return opened;
  }

  /** A sheet by hand with two jars, as a person types it; its address. */
  async function newSheet(page: Page): Promise<string> {
    await page.getByRole('button', { name: /made by hand/ }).click();
    await page.getByLabel('Name of the sheet').fill('Trial of March');
    await page.getByLabel('Name of the still').fill('Old copper');
    await page.getByLabel('Charge, litres').fill('40');
    await page.getByLabel('Its strength').fill('27');
    await page.getByRole('button', { name: 'Begin the sheet' }).click();
    await page.getByLabel('You taste as').fill('Ada');
    await page.getByRole('button', { name: 'Add jar 1' }).click();
    await page.getByRole('button', { name: 'Add jar 2' }).click();
    await page.getByText('Jar 2', { exact: true }).waitFor();
    return new URL(page.url()).hash;
  }
  const jarOf = (page: Page, number: number) => page.locator('details.jar', { hasText: `Jar ${number}` });
  async function unfold(page: Page, number: number) {
    const jar = jarOf(page, number);
    await jar.getByText(`Jar ${number}`, { exact: true }).click();
    return jar;
  }
  const saved = (page: Page) => page.getByText('All saved.').waitFor();

  it.each([phone, tablet])(
    'are typed, measured and tasted, and there again after a reload ($width $scheme)',
    async (look) => {
      const { page, trouble } = await open(look, '#/jars');
      await newSheet(page);
      const jar = await unfold(page, 1);
      await jar.getByLabel('Vapour at its end').fill('78,6');
      await jar.getByLabel('Air pressure').fill('965');
      await jar.getByLabel('Volume, L').fill('0.31');
      await jar.getByLabel('Strength, % vol').fill('81.5');
      await jar.getByLabel('Sample').fill('19');
      await jar.getByLabel('Nose').fill('nail varnish, <i>pear</i> behind it');
      await jar.getByText('Words of the trade').click();
      await jar.getByRole('button', { name: 'nail varnish' }).click();
      await jar.getByLabel('Intensity').selectOption('4');
      await jar.getByRole('group', { name: 'Your verdict' }).getByRole('button', { name: 'Out' }).click();
      await saved(page);
      await picture(page, `${look.width}-${look.scheme}-9-jar`);
      expect(await complaints(page)).toEqual([]);
      await page.reload();
      await jarOf(page, 1)
        .getByText(/78\.60 °C · .* at 1013 hPa · 0\.31 L · 81\.5 % vol/)
        .waitFor();
      await jarOf(page, 1).getByText('together: Out').waitFor();
      const again = await unfold(page, 1);
      expect(await again.getByLabel('Vapour at its end').inputValue()).toBe('78.6');
      expect(await again.getByLabel('Nose').inputValue()).toBe('nail varnish, <i>pear</i> behind it');
      expect(await again.getByLabel('Words', { exact: true }).inputValue()).toBe('nail varnish');
      const out = again.getByRole('group', { name: 'Your verdict' }).getByRole('button', { name: 'Out' });
      expect(await out.getAttribute('aria-pressed')).toBe('true');
      expect(trouble.lines).toEqual([]);
    },
  );

  it('of two tasters at one table stay apart, and come together in the verdict', async () => {
    const ada = await open(phone, '#/jars');
    const hash = await newSheet(ada.page);
    const ben = await open(tablet, hash);
    await ben.page.getByLabel('You taste as').fill('Ben');
    await ben.page.getByLabel('You taste as').press('Tab');
    const [hers, his] = [await unfold(ada.page, 2), await unfold(ben.page, 2)];
    await hers.getByLabel('Nose').fill('pear');
    await his.getByLabel('Nose').fill('wet cardboard');
    await hers.getByRole('group', { name: 'Your verdict' }).getByRole('button', { name: 'In', exact: true }).click();
    await his.getByRole('group', { name: 'Your verdict' }).getByRole('button', { name: 'Out' }).click();
    await saved(ada.page);
    await saved(ben.page);
    await hers.getByText('Ben: Out. wet cardboard').waitFor();
    await his.getByText('Ada: In. pear').waitFor();
    await hers.getByText(/together: Unsure, the tasters do not agree/).waitFor();
    expect(await hers.getByLabel('Nose').inputValue()).toBe('pear');
    expect([...ada.trouble.lines, ...ben.trouble.lines]).toEqual([]);
  });

  it('written on two devices in the same field ask which to keep, and lose neither', async () => {
    const one = await open(phone, '#/jars');
    const hash = await newSheet(one.page);
    await (await unfold(one.page, 1)).getByLabel('Note').fill('cloudy');
    await saved(one.page);
    const two = await open(tablet, hash);
    const second = await unfold(two.page, 1);
    await second.getByLabel('Note').fill('cloudy, blue tinge');
    await saved(two.page);
    // The first device has not looked since, and writes on.
    const first = jarOf(one.page, 1);
    await one.context.setOffline(true);
    await first.getByLabel('Note').fill('clear after all');
    await one.page.getByText(/1 not saved yet: kept on this device/).waitFor();
    await one.context.setOffline(false);
    await first.getByText('Written elsewhere meanwhile: “cloudy, blue tinge”.').waitFor();
    await picture(one.page, '390-dark-9-conflict');
    expect(await first.getByLabel('Note').inputValue()).toBe('clear after all');
    await first.getByRole('button', { name: 'Keep mine' }).click();
    await saved(one.page);
    const journal = valueOrThrow(openJournal(path, { readOnly: true }));
    const kept = valueOrThrow(journal.revisions(`jar-sheet/${hash.split('/')[2]}`, 'jar/1'));
    const notes = kept.map(({ body }) => (body as { note?: string }).note);
    expect(notes).toEqual(expect.arrayContaining(['cloudy', 'cloudy, blue tinge', 'clear after all']));
    journal.close();
  });

  it('lose nothing that was typed when the power is cut in the middle of it, time after time', async () => {
    const { page } = await open(phone, '#/jars');
    const hash = await newSheet(page);
    const jar = await unfold(page, 1);
    const nose = jar.getByLabel('Nose');
    let typed = '';
    for (let cut = 0; cut < 4; cut += 1) {
      await nose.click();
      await nose.press('Control+End');
      const words = ` pear skin ${cut}, quince jelly, a little glue`;
      const typing = nose.pressSequentially(words, { delay: 25 });
      typed += words;
      await page.waitForTimeout(400 + cut * 210);
      await kill();
      await typing;
      await page.waitForTimeout(300);
      expect(await nose.inputValue()).toBe(typed);
      await page.getByText(/not saved yet: kept on this device/).waitFor();
      await serve();
      // Half of the times the page is loaded anew, as by a phone that was off as well.
      if (cut % 2 === 1) {
        await page.reload();
        await unfold(page, 1);
      }
      await saved(page);
      expect(await nose.inputValue()).toBe(typed);
    }
    await kill();
    const journal = valueOrThrow(openJournal(path));
    const sheet = createSheets(journal, () => 1).show(hash.split('/')[2] ?? '');
    expect(sheet.kind === 'ok' && sheet.value.jars[0]?.tastings[0]?.content).toMatchObject({
      taster: 'Ada',
      nose: typed,
    });
    journal.close();
  });

  it('whose answer was lost on the way are known again as our own, and no conflict', async () => {
    const { page } = await open(phone, '#/jars');
    await newSheet(page);
    const jar = await unfold(page, 1);
    let lost = 0;
    await page.route('**/jar', async (route) => {
      // It arrives, but nobody hears of it.
      await route.fetch();
      lost += 1;
      await route.abort();
    });
    await jar.getByLabel('Note').fill('cloudy');
    await expect.poll(() => lost).toBeGreaterThan(0);
    await page.unroute('**/jar');
    await jar.getByLabel('Note').fill('cloudy, clears when warm');
    await saved(page);
    expect(await jar.getByText('Written elsewhere meanwhile').isVisible()).toBe(false);
    await page.reload();
    expect(await (await unfold(page, 1)).getByLabel('Note').inputValue()).toBe('cloudy, clears when warm');
  });

  it('are tasted blind: glasses with hidden numbers, and nothing that tells the jar', async () => {
    const { page, trouble } = await open(phone, '#/jars');
    await newSheet(page);
    await page.getByText('Blind tasting', { exact: true }).click();
    await page.getByLabel('Order of the glasses').selectOption('random');
    await page.getByRole('button', { name: 'Pour the glasses' }).click();
    await page.getByRole('button', { name: 'Taste blind now' }).click();
    const glasses = page.locator('details.jar .jar-title');
    await glasses.first().waitFor();
    const names = await glasses.allTextContents();
    expect(names.every((name) => /^Glass \d{3}$/.test(name))).toBe(true);
    expect(await page.locator('details.jar .jar-facts').allTextContents()).toEqual(['', '']);
    expect(await page.locator('details.jar').getByText('What the others say').count()).toBe(0);
    await glasses.first().click();
    await page.getByLabel('Nose').first().fill('pear');
    await page
      .getByRole('group', { name: 'Your verdict' })
      .first()
      .getByRole('button', { name: 'In', exact: true })
      .click();
    await saved(page);
    await picture(page, '390-dark-9-blind');
    expect(await complaints(page)).toEqual([]);
    await page.getByRole('button', { name: /End the blind tasting/ }).click();
    await page.getByText('together: In', { exact: true }).waitFor();
    expect(trouble.lines).toEqual([]);
  });
});
