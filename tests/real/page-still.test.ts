import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { pearSpirit } from '../../simulators/scenarios';
import { needs } from '../tools/need';
import { openStillhouse, type Stillhouse } from '../unit/page-stillhouse';
import { complaints, type Look, openBrowser, openDevice, picture } from './page-browser';

const looks: readonly Look[] = [
  { width: 390, height: 844, scheme: 'dark' },
  { width: 390, height: 844, scheme: 'light' },
  { width: 1024, height: 768, scheme: 'dark' },
  { width: 1024, height: 768, scheme: 'light' },
];

/** Pear spirit whose heads cut is asked. */
const asking = {
  ...pearSpirit,
  phases: pearSpirit.phases.map((step) => (step.phase === 'heads' ? { ...step, cut: 'ask' as const } : step)),
};

describe.skipIf(!needs('chromium'))('page: a run from the first press to the last', () => {
  let browser: Browser;
  let house: Stillhouse;
  beforeAll(async () => {
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser.close();
  });
  afterEach(async () => {
    await house.close();
  });

  const state = () => `${house.still.run.state} ${house.still.run.phase}`;
  const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first().click();

  it.each(looks)('on $width x $height in the $scheme', async (look) => {
    // The barometer falls silent in heads, for good: an alarm that stands, and takes nothing off.
    const fault = { fault: 'dropout', target: 'air-pressure', fromS: 4600, untilS: 1e6 };
    house = await openStillhouse({ recipes: [asking], faults: [fault] });
    await house.pass(20);
    house.runFreely(2);
    const { page, context, trouble } = await openDevice(browser, house.page.url, look);
    const shot = (name: string) => picture(page, `${look.width}-${look.scheme}-${name}`);
    const isWell = async (name: string): Promise<void> => {
      await shot(name);
      expect([name, await complaints(page)]).toEqual([name, []]);
    };
    await page.getByText('No run. The still is watched.').waitFor();
    await isWell('1-idle');
    await start(page, isWell);
    await askedCut(page, isWell);
    await inHearts(page, isWell);
    await alarm(page, isWell);
    await holdAndResume(page);
    const begun = house.journal.run(house.still.runId ?? '');
    expect(begun).toMatchObject({ value: { about: { jars: { everyL: 0.5, begins: 'by-itself' } } } });
    await page.getByRole('link', { name: 'Runs' }).click();
    await page.getByRole('link', { name: /Pear spirit/ }).click();
    await page.getByText('heads → hearts: cut by order of Ada').waitFor();
    await isWell('8-run');
    const popup = page.waitForEvent('popup');
    await page.getByRole('link', { name: 'Report' }).click();
    const report = await popup;
    await report.getByText('Pear skin & “glue”, <b>fading</b>').first().waitFor();
    await picture(report, `${look.width}-${look.scheme}-8-report`);
    expect(house.logged.filter((line) => line.includes('page'))).toEqual([]);
    expect(trouble.lines).toEqual([]);
    await context.close();
  });

  async function start(page: Page, isWell: (name: string) => Promise<void>): Promise<void> {
    await page.getByLabel('Your name, for the record').fill('Ada');
    await press(page, 'Start a run…');
    await page.getByLabel(/white: Drunk young/).check();
    await page.getByLabel('Its strength').fill('44');
    await press(page, 'Go on…');
    await page.getByText(/too strong to charge a still with/).waitFor();
    await page.getByLabel('Its strength').fill('29');
    await page.getByText('Development run, jar by jar').click();
    await page.getByLabel('New jar every … litres').fill('0.5');
    await isWell('2-start');
    await press(page, 'Go on…');
    await page.getByRole('heading', { name: 'Start Pear spirit (white)?' }).waitFor();
    await press(page, 'Back');
    expect(state()).toBe('idle idle');
    await press(page, 'Start a run…');
    await page.getByText('Development run, jar by jar').click();
    await page.getByLabel('New jar every … litres').fill('0.5');
    await press(page, 'Go on…');
    await isWell('3-sure');
    await press(page, 'Yes, heat up');
    await page.getByText('started by Ada').first().waitFor();
    expect(state()).toBe('running heat-up');
  }

  async function askedCut(page: Page, isWell: (name: string) => Promise<void>): Promise<void> {
    await house.pass(20_000, () => house.still.run.cut.asked);
    await page.getByRole('heading', { name: 'Cut from heads to hearts?' }).waitFor();
    expect(await page.title()).toMatch(/^\(\?\) heads/);
    await isWell('4-asked');
    await press(page, 'Not yet');
    await page.getByText('cut declined by Ada').first().waitFor();
    expect(state()).toBe('running heads');
    await press(page, 'Cut to hearts now…');
    await press(page, 'Back');
    expect(state()).toBe('running heads');
    await press(page, 'Cut to hearts now…');
    await press(page, 'Yes, cut to hearts');
    await page.getByText('cut by order of Ada').first().waitFor();
    expect(state()).toBe('running hearts');
  }

  async function inHearts(page: Page, isWell: (name: string) => Promise<void>): Promise<void> {
    await press(page, 'Begin with jar 1');
    await page.getByText('next jar, by Ada').first().waitFor();
    await house.pass(300);
    await press(page, /^Next jar \(now 1\)/);
    await page.getByRole('button', { name: /^Next jar \(now 2\)/ }).waitFor();
    await press(page, 'Write a note…');
    await page.getByLabel('What you saw, smelled or did').fill('Pear skin & “glue”, <b>fading</b>');
    await press(page, 'Write it down');
    await page.getByText('note by Ada “Pear skin & “glue”, <b>fading</b>”').first().waitFor();
    await press(page, 'Close');
    const big = page.locator('.big .figure').first();
    expect(Number(await big.textContent())).toBeCloseTo(house.still.run.estimate.vapourTempC ?? 0, 0);
    const size = await page.evaluate("parseFloat(getComputedStyle(document.querySelector('.big .figure')).fontSize)");
    expect(size).toBeGreaterThan(70);
    await page.getByText(/^in about \d+ min \(\d+–\d+\)$/).waitFor();
    await isWell('5-hearts');
    await page.mouse.wheel(0, 600);
    await page.locator('svg.plot path.line').first().waitFor();
    await page.getByRole('button', { name: 'All of it' }).click();
    await isWell('6-hearts-below');
  }

  async function alarm(page: Page, isWell: (name: string) => Promise<void>): Promise<void> {
    await house.pass(20_000, () => Object.values(house.still.run.alarms).some((one) => one.active));
    // Seen from wherever one is on the page.
    await page.getByRole('button', { name: /unanswered: look/ }).click();
    const card = page.locator('article.alarm', { hasText: /barometer air-pressure lost/ });
    await card.getByText(/^What it means: /).waitFor();
    await card.getByText(/^Do now: /).waitFor();
    expect(await page.locator('#called').textContent()).toMatch(/^Alarm, MEDIUM: barometer air-pressure lost/);
    await isWell('7-alarm');
    await card.getByRole('button', { name: 'Acknowledge' }).click();
    await card.getByText('acknowledged, still there').waitFor();
    const memory = Object.entries(house.still.run.alarms).find(([id]) => id.startsWith('air-pressure-lost'))?.[1];
    expect(memory).toMatchObject({ active: true, acknowledged: true });
  }

  async function holdAndResume(page: Page): Promise<void> {
    await press(page, 'Hold…');
    await press(page, 'Yes, heat off');
    await page.getByText(/HELD, heat off: held by Ada/).waitFor();
    expect(state()).toBe('held hearts');
    expect(house.still.run.drives.heat?.value).toBe(0);
    await press(page, 'Resume…');
    await press(page, 'Yes, resume with heat');
    await page.getByText(/coming back: what runs now goes to the feints/).waitFor();
    expect(state()).toBe('running hearts');
  }
});
