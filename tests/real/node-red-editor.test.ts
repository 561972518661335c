import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkStill } from '../../lib';
import { needs } from '../tools/need';
import {
  type FlowNode,
  type NodeRedHost,
  type NodeRedVersion,
  nodeNamed,
  readExample,
  root,
  startNodeRed,
} from '../tools/node-red-host';

const shots = join(root, '.tmp', 'node-red');
const locales = ['en-US', 'de', 'fr'] as const;
type Locale = (typeof locales)[number];

const flows = (): FlowNode[] =>
  [
    '01-a-simulated-run',
    '03-receivers-with-two-valves',
    '05-jars-to-recipe',
    '08-strength-and-proofing',
    '02-watch-a-still',
  ].flatMap((name) => readExample(name));
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

describe.skipIf(!needs('chromium')).each<NodeRedVersion>([5, 4])('the editor of Node-RED %i', (version) => {
  let host: NodeRedHost;
  let browser: Browser;
  const all = flows();

  beforeAll(async () => {
    mkdirSync(shots, { recursive: true });
    host = await startNodeRed({ version });
    await host.deploy(all);
    browser = await chromium.launch({
      executablePath: '/usr/bin/chromium',
      args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'],
    });
  });
  afterAll(async () => {
    await browser?.close();
    await host?.stop();
  });

  /** The editor with everything loaded, and a list of what the console complained of. */
  async function open(locale: Locale, dark = false): Promise<{ page: Page; complaints: string[] }> {
    const context = await browser.newContext({ viewport: { width: 1500, height: 1000 }, locale });
    const page = await context.newPage();
    const complaints: string[] = [];
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(String(error.stack)));
    await page.goto(host.url);
    await page.waitForSelector('.red-ui-palette-node[data-palette-type="middlecut-run"]', {
      timeout: 60_000,
      state: 'attached',
    });
    await page.waitForFunction(
      'typeof RED !== "undefined" && RED.nodes.node("x") !== undefined || document.querySelectorAll(".red-ui-flow-node").length > 3',
    );
    await page.addStyleTag({ content: '#red-ui-notifications { display: none !important; }' });
    if (dark) {
      await page.addStyleTag({ content: darkCss() });
      await page.evaluate(
        'document.documentElement.classList.add("nr-theme-dark"); window.monaco && monaco.editor.setTheme("vs-dark")',
      );
    }
    return { page, complaints };
  }

  async function edit(page: Page, id: string): Promise<void> {
    await page.evaluate(`(() => {
      const found = RED.nodes.node(${JSON.stringify(id)});
      if (found._def.category === 'config') RED.editor.editConfig('', found.type, found.id);
      else RED.editor.edit(found);
    })()`);
    await page.waitForSelector(
      '.red-ui-tray-content .dialog-form, .red-ui-tray-content #dialog-form, .red-ui-tray-content #node-config-dialog-edit-form',
      { state: 'attached' },
    );
    await page.waitForTimeout(900);
  }

  async function leave(page: Page, done: boolean): Promise<void> {
    const button = done ? '#node-dialog-ok, #node-config-dialog-ok' : '#node-dialog-cancel, #node-config-dialog-cancel';
    await page.locator(button).last().click();
    await page.waitForTimeout(500);
  }

  const idOf = (type: string) => nodeNamed(all, `middlecut-${type}`).id;
  const shot = (page: Page, name: string) => page.screenshot({ path: join(shots, `${version}-${name}.png`) });

  it.each(locales)(
    'speaks %s: palette, every dialog and every help, without an error on the console',
    async (locale) => {
      const dark = locale === 'de';
      const { page, complaints } = await open(locale, dark);
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
      await shot(page, `${locale}-palette`);
      for (const type of types) {
        await edit(page, idOf(type));
        const text = await page.locator('.red-ui-tray-body').last().textContent();
        const fields: Record<string, string> = catalogue(type).fields;
        expect(text).toContain(fields.name);
        expect(text).not.toMatch(/middlecut-[a-z-]+\.[a-z]/);
        const help = (await page.evaluate(`RED.nodes.getNodeHelp('middlecut-${type}')`)) as string;
        const written = readFileSync(join(root, `nodes/${type}/locales/${locale}/${type}.html`), 'utf8');
        expect(help.replace(/\s+/g, ' ')).toContain(
          /<p>(.*?)<\/p>/s.exec(written)![1]!.replace(/\s+/g, ' ').slice(0, 60),
        );
        await shot(page, `${locale}-${type}${dark ? '-dark' : ''}`);
        await leave(page, false);
      }
      expect(complaints).toEqual([]);
      await page.context().close();
    },
  );

  it('checks a recipe as it is typed, with line, path, value and remedy, and says what it means', async () => {
    const { page, complaints } = await open('en-US');
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
    await page.context().close();
  });

  it('a still is put together in the form, from a template, without a word of JSON', async () => {
    const { page, complaints } = await open('en-US');
    await page.evaluate('RED.editor.editConfig("", "middlecut-still", "_ADD_")');
    await page.waitForTimeout(1500);
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
    await page.context().close();
  });

  it('rows of the readings table are written back as they were, and new ones too', async () => {
    const { page, complaints } = await open('en-US');
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
    await page.context().close();
  });

  it('an example is imported by the dialog, deployed, and runs', async () => {
    const { page, complaints } = await open('en-US');
    await page.evaluate('RED.actions.invoke("core:show-examples-import-dialog")');
    await page.waitForTimeout(1000);
    const dialog = page.locator('#red-ui-clipboard-dialog-import-tab-examples');
    await dialog.getByText('@middlecut/middlecut', { exact: true }).click();
    await dialog.getByText('06-alarms-to-a-phone').first().click();
    await shot(page, 'import');
    await page.locator('#red-ui-clipboard-dialog-ok').click();
    await page.waitForTimeout(1500);
    const tab = page.locator('#red-ui-workspace-tabs .red-ui-tab-label', { hasText: 'Alarms to a phone' });
    await tab.click();
    await page.locator('#red-ui-header-button-deploy').click();
    await page
      .locator('.red-ui-flow-node-status-label', { hasText: /°C ×30/ })
      .first()
      .waitFor({ timeout: 15_000 });
    await shot(page, 'imported');
    expect(complaints).toEqual([]);
    await page.context().close();
  });
});
