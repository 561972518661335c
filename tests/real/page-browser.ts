import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { findComplaints } from './page-complaints.mjs';

export interface Look {
  readonly width: number;
  readonly height: number;
  readonly scheme: 'dark' | 'light';
}

/** What went wrong on a page without anybody pressing anything: it should stay empty. */
export interface Trouble {
  readonly lines: string[];
}

export function openBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox'] });
}

/** A page as one device sees it, with everything that should not happen written down. */
export async function openDevice(
  browser: Browser,
  url: string,
  look: Look,
  headers: Record<string, string> = {},
): Promise<{ page: Page; context: BrowserContext; trouble: Trouble }> {
  const context = await browser.newContext({
    viewport: { width: look.width, height: look.height },
    colorScheme: look.scheme,
    extraHTTPHeaders: headers,
    reducedMotion: 'reduce',
  });
  context.setDefaultTimeout(15_000);
  const page = await context.newPage();
  const lines: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') lines.push(`console: ${message.text()}`);
  });
  page.on('pageerror', (error) => lines.push(`thrown: ${error.message}`));
  page.on('request', (request) => {
    const asked = new URL(request.url());
    if (asked.origin !== new URL(url).origin && asked.protocol !== 'data:') lines.push(`outside: ${request.url()}`);
  });
  page.on('response', (response) => {
    if (response.status() >= 400) lines.push(`${response.status()}: ${response.url()}`);
  });
  await page.goto(url);
  return { page, context, trouble: { lines } };
}

/** Keeps a picture where the environment names a folder for them. */
export async function picture(page: Page, name: string): Promise<void> {
  const folder = process.env.MIDDLECUT_PICTURES;
  if (folder === undefined) return;
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}.png`) });
}

/** What is hard to read, hit or reach on the page as it stands: see `page-complaints.mjs`. */
export async function complaints(page: Page): Promise<string[]> {
  return page.evaluate(findComplaints);
}
