import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { checkStill } from '../../lib';
import { needs } from '../tools/need';
import { launchBrowser, openPage, picture, wantsPictures } from '../tools/node-red-browser';
import {
  type FlowNode,
  type NodeRedHost,
  nodeNamed,
  onBothNodeReds,
  readExample,
  root,
  startNodeRed,
} from '../tools/node-red-host';

const able = needs('chromium');
/** English last: its page serves the other tests too. */
const locales = ['de', 'fr', 'en-US'] as const;
type Locale = (typeof locales)[number];

const examples = [
  '01-a-simulated-run',
  '03-receivers-with-two-valves',
  '05-jars-to-recipe',
  '08-strength-and-proofing',
  '02-watch-a-still',
];
const types = [
  'still',
  'recipe',
  'run',
  'watch',
  'pressure-shift',
  'strength',
  'jar-sheet',
  'proofing',
  'simulated-still',
];

/** Node-RED 5 has a dark theme of its own; 4 is given the same variables, as a theme does it. */
const darkCss = () => {
  const style = readFileSync(join(root, 'node_modules/@node-red/editor-client/public/red/style.min.css'), 'utf8');
  return /html\.nr-theme-dark\{[^}]*\}/.exec(style)![0];
};

/** Nothing slides, and nothing lies over what is looked at. */
const stillCss = '#red-ui-notifications { display: none !important; } * { transition: none !important; }';

onBothNodeReds('the editor', (version) => {
  let host: NodeRedHost;
  let browser: Browser;
  const all: FlowNode[] = examples.flatMap((name) => readExample(name));

  beforeAll(async () => {
    if (!able) return;
    [host, browser] = await Promise.all([startNodeRed({ version }), launchBrowser()]);
    await host.deploy(all);
  });
  afterAll(async () => {
    await browser?.close();
    await host?.stop();
  });

  const pages = new Map<Locale, Awaited<ReturnType<typeof openPage>>>();

  /** The editor in a language with everything loaded, and what its console complained of; loaded once. */
  async function editor(locale: Locale): Promise<{ page: Page; complaints: string[] }> {
    const open = pages.get(locale);
    if (open !== undefined) return open;
    const opened = await openPage(browser, { viewport: { width: 1500, height: 1000 }, locale });
    pages.set(locale, opened);
    const { page } = opened;
    await page.goto(host.url);
    await page.waitForSelector('.red-ui-palette-node[data-palette-type="middlecut-run"]', {
      timeout: 60_000,
      state: 'attached',
    });
    await page.waitForFunction('document.querySelectorAll(".red-ui-flow-node").length > 3');
    await page.addStyleTag({ content: stillCss });
    if (locale === 'de') {
      await page.addStyleTag({ content: darkCss() });
      await page.evaluate(
        'document.documentElement.classList.add("nr-theme-dark"); window.monaco && monaco.editor.setTheme("vs-dark")',
      );
    }
    return opened;
  }

  /** Opens the dialog of a node, or of a new one, and waits until its fields are there. */
  async function edit(page: Page, id: string): Promise<void> {
    await page.evaluate(`(() => {
      $.fx.off = true;
      const found = RED.nodes.node(${JSON.stringify(id)});
      if (!found) RED.editor.editConfig('', ${JSON.stringify(id)}, '_ADD_');
      else if (found._def.category === 'config') RED.editor.editConfig('', found.type, found.id);
      else RED.editor.edit(found);
    })()`);
    await page.locator('.red-ui-tray .form-row').first().waitFor();
    await page.locator('#node-dialog-ok, #node-config-dialog-ok').last().waitFor();
  }

  async function leave(page: Page, done: boolean): Promise<void> {
    const button = done ? '#node-dialog-ok, #node-config-dialog-ok' : '#node-dialog-cancel, #node-config-dialog-cancel';
    await page.locator(button).last().click();
    await page.locator('.red-ui-tray').first().waitFor({ state: 'detached' });
  }

  const idOf = (type: string) => nodeNamed(all, `middlecut-${type}`).id;
  const shot = (page: Page, name: string) => picture(page, `${version}-${name}`);

  it.skipIf(!able).each(locales)(
    'speaks %s: palette, every dialog and every help, without an error on the console',
    async (locale) => {
      const { page, complaints } = await editor(locale);
      const catalogue = (type: string) =>
        JSON.parse(readFileSync(join(root, `nodes/${type}/locales/${locale}/${type}.json`), 'utf8'))[
          `middlecut-${type}`
        ];
      await page.locator('.red-ui-palette-node[data-palette-type="middlecut-run"]').scrollIntoViewIfNeeded();
      for (const type of types.filter((one) => one !== 'still' && one !== 'recipe')) {
        const label = await page
          .locator(`.red-ui-palette-node[data-palette-type="middlecut-${type}"] .red-ui-palette-label`)
          .textContent();
        expect(label?.replace(/\s+/g, ' ').trim()).toBe(catalogue(type).label);
      }
      if (wantsPictures) await page.evaluate('RED.sidebar.help.show("middlecut-run")');
      await shot(page, `${locale}-palette-and-help`);
      for (const type of types) {
        await edit(page, idOf(type));
        const fields: Record<string, string> = catalogue(type).fields;
        await page.locator('.red-ui-tray-body', { hasText: fields.name! }).last().waitFor();
        const text = await page.locator('.red-ui-tray-body').last().textContent();
        expect(text).not.toMatch(/middlecut-[a-z-]+\.[a-z]/);
        const help = (await page.evaluate(`RED.nodes.getNodeHelp('middlecut-${type}')`)) as string;
        const written = readFileSync(join(root, `nodes/${type}/locales/${locale}/${type}.html`), 'utf8');
        expect(help.replace(/\s+/g, ' ')).toContain(
          /<p>(.*?)<\/p>/s.exec(written)![1]!.replace(/\s+/g, ' ').slice(0, 60),
        );
        await shot(page, `${locale}-${type}`);
        await leave(page, false);
      }
      expect(complaints).toEqual([]);
      if (locale !== 'en-US') await page.close();
    },
  );

  it.skipIf(!able)(
    'checks a recipe as it is typed, with line, path, value and remedy, and says what it means',
    async () => {
      const { page, complaints } = await editor('en-US');
      await edit(page, idOf('recipe'));
      const problems = page.locator('#middlecut-recipe-problems');
      await problems.getByText('no problems').waitFor();
      await page.locator('#middlecut-recipe-outline').getByText('5 % of the charge').waitFor();
      await page.evaluate(`(() => {
      const model = monaco.editor.getModels().find((one) => one.getValue().includes('"recipe": 1'));
      model.setValue(model.getValue().replace('90.8', '150').replace('"kind": "spirit"', '"kind": "spirits"'));
    })()`);
      await problems.getByText('kind: "spirits"').waitFor({ timeout: 10_000 });
      expect(await problems.textContent()).toMatch(/line \d+: kind: "spirits": .*Use one of "stripping", "spirit"/);
      await shot(page, 'recipe-problems');
      await leave(page, false);
      expect(complaints).toEqual([]);
    },
  );

  it.skipIf(!able)('a still is put together in the form, from a template, without a word of JSON', async () => {
    const { page, complaints } = await editor('en-US');
    await edit(page, 'middlecut-still');
    await page.getByRole('button', { name: 'Pot, two receivers with valves' }).click();
    await page.locator('#middlecut-still-problems').getByText('no problems').waitFor();
    await page.locator('[data-field="altitudeM"]').fill('420');
    await page.locator('[data-list="points"] .middlecut-name').first().fill('head');
    await page.locator('[data-field="heelL"]').fill('90');
    await page.locator('#middlecut-still-problems').getByText("is not below the boiler's 60 L").waitFor();
    await shot(page, 'still-form-problem');
    await page.locator('[data-field="heelL"]').fill('7');
    await page.locator('#middlecut-still-problems').getByText('no problems').waitFor();
    await leave(page, true);
    const document = (await page.evaluate(`(() => {
      const found = [];
      RED.nodes.eachConfig((node) => {
        if (node.type === 'middlecut-still') found.push(node.document);
      });
      return found.find((text) => text.includes('"head"'));
    })()`)) as string | undefined;
    const still = JSON.parse(document ?? '{}');
    expect(still).toMatchObject({
      altitudeM: 420,
      heelL: 7,
      points: { head: { kind: 'vapour-temp', resolution: 0.0625 } },
    });
    expect(checkStill(still).kind).toBe('ok');
    expect(complaints).toEqual([]);
  });

  it.skipIf(!able)('rows of the readings table are written back as they were, and new ones too', async () => {
    const { page, complaints } = await editor('en-US');
    const run = all.find((node) => node.type === 'middlecut-run' && (node.readings as unknown[]).length > 0)!;
    await edit(page, run.id);
    const rows = page.locator('#middlecut-run-readings li');
    expect(await rows.count()).toBe(5);
    await page.evaluate(
      "$('#middlecut-run-readings').closest('.red-ui-editableList').find('.red-ui-editableList-addButton').trigger('click')",
    );
    await rows.nth(5).locator('.middlecut-point').selectOption('boiler-temp');
    await rows.nth(5).locator('.middlecut-topic').fill('spare/probe');
    await shot(page, 'run-readings');
    await leave(page, true);
    const readings = (await page.evaluate(`RED.nodes.node('${run.id}').readings`)) as unknown[];
    expect(readings.slice(0, 5)).toEqual(run.readings);
    expect(readings[5]).toMatchObject({
      point: 'boiler-temp',
      topic: 'spare/probe',
      property: 'payload',
      unitType: 'unit',
    });
    expect(complaints).toEqual([]);
  });

  it.skipIf(!able)('a dialog that is closed before its checks are answered leaves nothing on the console', async () => {
    const { page, complaints } = await editor('en-US');
    let held = 0;
    await page.route('**/middlecut/check', async (route) => {
      held += 1;
      await new Promise((later) => setTimeout(later, 700));
      await route.continue();
    });
    for (const type of ['run', 'watch', 'recipe', 'still']) {
      await edit(page, idOf(type));
      await leave(page, false);
    }
    await page.waitForTimeout(900);
    await page.unrouteAll({ behavior: 'wait' });
    expect(held).toBeGreaterThan(2);
    expect(complaints).toEqual([]);
  });

  it.skipIf(!able)('an example is imported by the dialog, deployed, and runs', async () => {
    const { page, complaints } = await editor('en-US');
    await page.evaluate('RED.actions.invoke("core:show-examples-import-dialog")');
    const dialog = page.locator('#red-ui-clipboard-dialog-import-tab-examples');
    await dialog.getByText('@middlecut/middlecut', { exact: true }).click();
    await dialog.getByText('06-alarms-to-a-phone').first().click();
    await shot(page, 'import');
    await page.locator('#red-ui-clipboard-dialog-ok').click();
    const tab = page.locator('#red-ui-workspace-tabs .red-ui-tab-label', { hasText: 'Alarms to a phone' });
    await tab.click();
    await page.locator('#red-ui-header-button-deploy').click();
    await page
      .locator('.red-ui-flow-node-status-label', { hasText: /°C ×30/ })
      .first()
      .waitFor({ timeout: 15_000 });
    await shot(page, 'imported');
    expect(complaints).toEqual([]);
  });
});
