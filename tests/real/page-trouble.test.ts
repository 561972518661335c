import type { Browser, BrowserContext } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { secretOf } from '../../daemon/config/secret';
import { openPage, type Page as Served } from '../../daemon/page';
import { freePort } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { openStillhouse, type Stillhouse, type StillhouseOptions } from '../unit/page-stillhouse';
import { complaints, type Look, openBrowser, openDevice, picture } from './page-browser';

const phone: Look = { width: 390, height: 844, scheme: 'light' };
const small: Look = { width: 360, height: 640, scheme: 'dark' };

describe.skipIf(!needs('chromium'))('page: when things go wrong', () => {
  let browser: Browser;
  const houses: Stillhouse[] = [];
  const contexts: BrowserContext[] = [];
  const again: Served[] = [];
  beforeAll(async () => {
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser.close();
  });
  afterEach(async () => {
    for (const context of contexts.splice(0)) await context.close();
    for (const page of again.splice(0)) await page.close();
    for (const house of houses.splice(0)) await house.close();
  });

  async function house(options: StillhouseOptions = {}): Promise<Stillhouse> {
    const opened = await openStillhouse(options);
    houses.push(opened);
    await opened.pass(20);
    return opened;
  }
  async function device(url: string, look: Look, headers: Record<string, string> = {}) {
    const opened = await openDevice(browser, url, look, headers);
    contexts.push(opened.context);
    return opened;
  }

  it('a lost connection is loud within seconds, and mends itself without a reload', async () => {
    const port = await freePort();
    const { page: served, source, runFreely } = await house({ port });
    runFreely(2);
    const { page } = await device(served.url, phone);
    await page.getByText('● live').waitFor();
    await page.evaluate('window.isTheSame = true');
    await served.close();
    await page.getByText('NO CONNECTION. What you see is old.').waitFor({ timeout: 10_000 });
    expect(await page.title()).toMatch(/NO CONNECTION/);
    await page.getByText(/Go to the still and look there/).waitFor();
    await picture(page, '390-light-10-lost');
    expect(await complaints(page)).toEqual([]);
    const log = { info: () => undefined, warn: () => undefined, error: () => undefined };
    again.push(await openPage({ host: '127.0.0.1', port, password: null, source, log }));
    await page.getByText('● live').waitFor({ timeout: 20_000 });
    expect(await page.getByText('NO CONNECTION').isVisible()).toBe(false);
    expect(await page.evaluate('window.isTheSame')).toBe(true);
  });

  it('an engine that stands still is told apart from a connection that is gone', async () => {
    const { page: served, runFreely } = await house();
    runFreely(4);
    const { page, trouble } = await device(served.url, phone);
    await page.getByText('● live').waitFor();
    runFreely(0.001);
    await page.getByText('THE ENGINE IS SILENT. What you see is old.').waitFor({ timeout: 15_000 });
    runFreely(4);
    await page.getByText('THE ENGINE IS SILENT').waitFor({ state: 'hidden' });
    expect(trouble.lines).toEqual([]);
  });

  it('a probe that falls silent shows a dash and not its last value, as large as it was', async () => {
    const {
      page: served,
      pass,
      runFreely,
    } = await house({
      faults: [{ fault: 'dropout', target: 'vapour-temp', fromS: 40, untilS: 9000 }],
    });
    runFreely(2);
    const { page } = await device(served.url, small);
    const figure = page.locator('.big .figure').first();
    await expect.poll(() => figure.textContent()).toMatch(/^1\d\.\d$/);
    await pass(150);
    await expect.poll(() => figure.textContent()).toBe('–');
    await page.getByText(/Vapour, as read not known: .*\. Last 1\d\.\d °C, .* ago/).waitFor();
    await picture(page, '360-dark-10-dash');
    expect(await complaints(page)).toEqual([]);
  });

  it('asks for the password, once, and shows nothing before', async () => {
    const { page: served, runFreely } = await house({ password: 'quince' });
    runFreely(2);
    const { page, context } = await device(served.url, phone);
    await page.getByLabel('Password').fill('perry');
    await page.getByRole('button', { name: 'Log in' }).click();
    await page.getByText('this is not the password').waitFor();
    expect(await page.getByText('The orchard still').count()).toBe(0);
    await picture(page, '390-light-10-login');
    expect(await complaints(page)).toEqual([]);
    await page.getByLabel('Password').fill('quince');
    await page.keyboard.press('Enter');
    await page.getByText('● live').waitFor();
    expect(await page.evaluate('document.cookie')).toBe('');
    await page.reload();
    await page.getByRole('heading', { name: 'The orchard still' }).waitFor();
    await page.getByRole('button', { name: 'Log out' }).click();
    await page.getByLabel('Password').waitFor();
    expect((await context.cookies()).length).toBe(0);
  });

  it('asks for the password again when the daemon was started anew', async () => {
    const port = await freePort();
    const { page: served, source, runFreely } = await house({ password: 'quince', port });
    runFreely(2);
    const { page } = await device(served.url, phone);
    await page.getByLabel('Password').fill('quince');
    await page.keyboard.press('Enter');
    await page.getByText('● live').waitFor();
    await served.close();
    const log = { info: () => undefined, warn: () => undefined, error: () => undefined };
    again.push(await openPage({ host: '127.0.0.1', port, password: secretOf('quince'), source, log }));
    await page.getByLabel('Password').waitFor({ timeout: 20_000 });
    expect(await page.getByText('The orchard still').count()).toBe(0);
    await page.getByLabel('Password').fill('quince');
    await page.keyboard.press('Enter');
    await page.getByText('● live').waitFor();
  });

  it('of two stills shows the one that is chosen, and what calls on the other', async () => {
    const stillhouse = await house({
      faults: [{ fault: 'dropout', target: 'vapour-temp', fromS: 60, untilS: 9000 }],
    });
    const { source, still } = stillhouse;
    // A second still, as quiet as the first was before its probe fell silent in a run.
    const quiet = source.still('orchard');
    const start = {
      order: 'start',
      id: 'page-start',
      recipe: 'Pear spirit',
      chargeL: 55,
      chargeVolPercent: 29,
    } as const;
    const seen = { run: null, state: still.run.state, phase: still.run.phase };
    const given = source.order('orchard', start, seen, 'still');
    stillhouse.runFreely(20);
    expect(await given).toMatchObject({ accepted: true });
    const both = {
      ...source,
      stillIds: () => ['column', 'orchard'],
      trend: () => source.trend('orchard'),
      still: (id: string) =>
        id === 'column' && quiet !== null ? { ...quiet, id, name: 'The column' } : source.still(id),
    };
    const log = { info: () => undefined, warn: () => undefined, error: () => undefined };
    const opened = await openPage({ host: '127.0.0.1', port: 0, password: null, source: both, log });
    again.push(opened);
    const beat = setInterval(() => {
      opened.changed('column');
      opened.changed('orchard');
    }, 500);
    const { page, trouble } = await device(opened.url, phone);
    const chosen = page.getByLabel('Still', { exact: true });
    await expect.poll(() => chosen.inputValue(), { timeout: 10_000 }).toBe('column');
    await page.getByText('No alarms stand.').waitFor();
    await page.getByRole('button', { name: '1 unanswered: look (The orchard still)' }).click();
    await page
      .getByText(/probe vapour-temp lost/)
      .first()
      .waitFor();
    await expect.poll(() => chosen.inputValue(), { timeout: 10_000 }).toBe('orchard');
    await chosen.selectOption('column');
    await page.getByText('No alarms stand.').waitFor();
    await picture(page, '390-light-10-two');
    expect(await complaints(page)).toEqual([]);
    expect(trouble.lines).toEqual([]);
    clearInterval(beat);
  });

  it('from elsewhere says that orders only make things safer, and the engine keeps to it', async () => {
    const stillhouse = await house({ password: 'quince' });
    stillhouse.runFreely(2);
    const { page, trouble } = await device(stillhouse.page.url, small, { 'X-Forwarded-For': '10.0.0.7' });
    await page.getByLabel('Password').fill('quince');
    await page.keyboard.press('Enter');
    await page.getByText(/This device is not at the still/).waitFor();
    await page.getByRole('button', { name: 'Start a run…' }).click();
    await page.getByRole('button', { name: 'Go on…' }).click();
    await page.getByRole('button', { name: 'Yes, heat up' }).click();
    await page
      .locator('#answer')
      .getByText(/at the still/)
      .waitFor();
    expect(stillhouse.still.run.state).toBe('idle');
    await picture(page, '360-dark-10-remote');
    expect(await complaints(page)).toEqual([]);
    expect(trouble.lines).toEqual([]);
  });

  it('goes by the keyboard alone, and the focus stays where it was while figures change', async () => {
    const stillhouse = await house();
    stillhouse.runFreely(10);
    const { page } = await device(stillhouse.page.url, phone);
    const start = page.getByRole('button', { name: 'Start a run…' });
    await start.focus();
    await page.waitForTimeout(1500);
    expect(await page.evaluate('document.activeElement.textContent')).toBe('Start a run…');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Start a run' }).waitFor();
    await page.keyboard.press('Escape');
    await expect.poll(() => page.locator('dialog').count()).toBe(0);
    expect(stillhouse.still.run.state).toBe('idle');
    await start.focus();
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Go on…' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: /^Start Pear spirit/ }).waitFor();
    // The way back has the focus: a second press in haste starts nothing.
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('dialog').count()).toBe(0);
    expect(stillhouse.still.run.state).toBe('idle');
  });

  it('every view fits on the smallest phone and with letters half as large again', async () => {
    const stillhouse = await house();
    stillhouse.runFreely(2);
    const { page } = await device(stillhouse.page.url, small);
    await page.getByText('● live').waitFor();
    await page.getByText('Points and drives').click();
    for (const size of ['100%', '150%']) {
      await page.evaluate(`document.documentElement.style.fontSize = '${size}'`);
      for (const view of ['Still', 'Jars', 'Runs']) {
        await page.getByRole('link', { name: view }).click();
        await page.waitForTimeout(300);
        const sideways = (await complaints(page)).filter((line) => line.startsWith('scrolls'));
        expect([size, view, sideways]).toEqual([size, view, []]);
      }
    }
  });
});
