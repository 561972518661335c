import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';

/** Where pictures of everything go, for people to look at: they cost time, so only when MIDDLECUT_PICTURES names a folder. */
const folder = process.env.MIDDLECUT_PICTURES;
export const wantsPictures = folder !== undefined && folder !== '';

export function launchBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'],
  });
}

/** A page of its own, and what its console complains of. */
export async function openPage(
  browser: Browser,
  options: BrowserContextOptions,
): Promise<{ readonly page: Page; readonly complaints: string[] }> {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  page.on('pageerror', (error) => {
    if (!isEditorsOwn(error)) complaints.push(String(error.stack));
  });
  return { page, complaints };
}

/** Takes a picture where pictures are wanted, once everything has come to rest. */
export async function picture(page: Page, name: string): Promise<void> {
  if (folder === undefined || folder === '') return;
  mkdirSync(folder, { recursive: true });
  await page.waitForTimeout(800);
  await page.screenshot({ path: join(folder, `${name}.png`) });
}

/** The text editor that Node-RED brings along goes on for a moment with a text whose dialog was just closed: no line of ours is in it. */
function isEditorsOwn({ message, stack = '' }: Error): boolean {
  const frames = stack.split('\n').filter((line) => line.trim().startsWith('at '));
  return message.includes('Model is disposed!') && frames.every((line) => line.includes('/vendor/monaco/'));
}
