import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { checkRecipe } from '../../lib';
import { needs } from '../tools/need';
import { launchBrowser, openPage, picture } from '../tools/node-red-browser';
import {
  type FlowNode,
  hasPackage,
  type NodeRedHost,
  nodeNamed,
  onBothNodeReds,
  readExample,
  root,
  startNodeRed,
  waitFor,
} from '../tools/node-red-host';
import { good } from '../tools/plants';

const names = readdirSync(join(root, 'flows-examples')).map((file) => file.replace(/\.json$/, ''));
/** As fast as simulated stills may run. */
const fast = 200;
const dashboard = '@flowfuse/node-red-dashboard';
const hasDashboard = hasPackage(dashboard) && needs('chromium');
/** The daemon's example needs a daemon, and has a test of its own. */
const left = hasDashboard ? /^09-/ : /^0[79]-/;

onBothNodeReds('the examples', (version) => {
  let host: NodeRedHost;
  let browser: Browser | undefined;
  let dashboardPage: Awaited<ReturnType<typeof openPage>> | undefined;
  const flows = Object.fromEntries(names.map((name) => [name, readExample(name, fast)]));
  const all = () => names.filter((name) => !left.test(name)).flatMap((name) => flows[name]!);
  const press = (name: string, label: string) => host.inject(nodeNamed(flows[name]!, 'inject', label).id);
  const shownBy = (name: string, debug: string) => {
    const { id } = nodeNamed(flows[name]!, 'debug', debug);
    return host.shown.filter((one) => one.id === id);
  };
  const boilerC = (name: string) =>
    Number((shownBy(name, 'state').at(-1)?.value as { boilerTempC?: number } | undefined)?.boilerTempC);
  const statusOf = (node: FlowNode) => host.status[node.id]?.text ?? '';

  beforeAll(async () => {
    host = await startNodeRed({ version, alsoInstall: hasDashboard ? [dashboard] : [] });
    const phone = nodeNamed(flows['06-alarms-to-a-phone']!, 'tab');
    phone.env = [{ name: 'NOTIFY_URL', type: 'str', value: `${host.url}/middlecut-example-phone` }];
    nodeNamed(flows['02-watch-a-still']!, 'debug', 'state').active = true;
    // Its jars are changed by what the state says, so the state has to keep up with the time.
    nodeNamed(flows['05-jars-to-recipe']!, 'middlecut-run').stateEveryS = 0.15;
    await host.deploy(all());
    const stills = all().filter((node) => node.type === 'middlecut-simulated-still');
    await waitFor('the first readings', () => stills.every((node) => /°C/.test(statusOf(node))));
    const kept = nodeNamed(flows['05-jars-to-recipe']!, 'middlecut-recipe').id;
    await waitFor('the recipe of the development run', () =>
      existsSync(join(host.userDir, 'middlecut', `recipe-${kept}.json`)),
    );
    await press('02-watch-a-still', 'heat on');
    for (const name of names.filter((one) => /^0[1345]-/.test(one))) await press(name, 'start');
    if (hasDashboard) await startFromDashboard();
  });
  afterAll(async () => {
    await browser?.close();
    await host?.stop();
  });

  async function startFromDashboard(): Promise<void> {
    browser = await launchBrowser();
    dashboardPage = await openPage(browser, { viewport: { width: 1400, height: 1000 } });
    const { page } = dashboardPage;
    await page.goto(`${host.url}/dashboard/still`);
    await page.getByRole('button', { name: 'Start' }).click();
    await page.getByText('heat-up', { exact: true }).waitFor({ timeout: 15_000 });
  }

  it('are offered by the import dialog, every one', async () => {
    const path = `${host.url}/library/examples/flows/@middlecut/middlecut`;
    const listed = await (await fetch(path)).text();
    for (const name of names) expect(listed).toContain(name);
  });

  it('deploy without an unknown type and without an error of a node of ours', () => {
    expect(host.log()).not.toMatch(/missing types|unknown type/i);
    expect(host.log()).not.toMatch(/\[error\] \[middlecut/);
  });

  it('01 a simulated run: heat-up to hearts, a mishap trips, acknowledged and resumed it comes back', async () => {
    const name = '01-a-simulated-run';
    const phases = () => shownBy(name, 'phase').map((one) => one.text);
    await waitFor('hearts', () => phases().includes('hearts'), 100).catch((error: Error) => {
      const alarms = shownBy(name, 'alarms').map((one) => one.text);
      throw new Error(`${error.message}; phases ${phases()}; alarms ${alarms}; ${host.log().slice(-600)}`);
    });
    expect(phases()).toEqual(['heat-up', 'foreshots', 'heads', 'hearts']);
    await press(name, 'coolant-lost');
    await waitFor('an alarm', () => shownBy(name, 'alarms').length > 0, 30);
    const run = nodeNamed(flows[name]!, 'middlecut-run');
    await waitFor('held', () => /^held/.test(statusOf(run)), 60);
    await press(name, 'none');
    await waitFor(
      'running',
      () => {
        press(name, 'acknowledge')
          .then(() => press(name, 'resume'))
          .catch(() => {});
        return /^hearts/.test(statusOf(run));
      },
      60,
    );
  });

  it('02 watch a still: tells the lost probe, goes quiet when it is back, takes the acknowledgement', async () => {
    const name = '02-watch-a-still';
    const watch = nodeNamed(flows[name]!, 'middlecut-watch');
    await waitFor('a warm boiler', () => boilerC(name) > 42, 60);
    await press(name, 'probe-lost');
    const lost = await waitFor('the alarm', () => shownBy(name, 'alarms').find((one) => /vapour-temp/.test(one.text)));
    expect(lost.text).toMatch(/probe vapour-temp lost/);
    await waitFor('red', () => host.status[watch.id]?.fill === 'red');
    await press(name, 'none');
    await press(name, 'acknowledge all');
    await waitFor('no alarm', () => host.status[watch.id]?.fill === 'green');
  });

  it('06 alarms to a phone: a short text arrives over HTTP', async () => {
    const name = '06-alarms-to-a-phone';
    await press(name, 'probe-lost');
    const text = await waitFor('the phone', () => shownBy(name, 'on the phone')[0]);
    expect(text.text).toMatch(/^high: probe vapour-temp lost/);
    expect(text.text).not.toMatch(/&quot;|\{\{|guidance\./);
    await waitFor('the answer', () => shownBy(name, 'answer').some((one) => one.value === 200));
  });

  it('08 strength and proofing: the sums come out, and the one that cannot be says why', async () => {
    const name = '08-strength-and-proofing';
    for (const label of [
      'vapour 90.0 °C',
      '50 % vol at 10 °C',
      '10 L of 70 % vol to 42 % vol',
      'three casks',
      '20 L at 42 % vol from 68 % vol',
      'a sum that cannot be',
    ])
      await press(name, label);
    const number = async (debug: string) => Number((await waitFor(debug, () => shownBy(name, debug)[0])).value);
    expect(await number('°C at 1013.25 hPa')).toBeGreaterThan(91);
    expect(await number('°C at 1013.25 hPa')).toBeLessThan(92);
    expect(await number('% vol of the distillate')).toBeCloseTo(59.5, 0);
    // 50 % vol at 10 °C is 53.7 % vol. Source: OIML R 22, table VIIIb.
    expect(await number('true % vol')).toBeCloseTo(53.7, 1);
    expect(await number('litres of water')).toBeGreaterThan(6.7);
    expect(await number('% vol of the blend')).toBeGreaterThan(64);
    const why = await waitFor('why not', () => shownBy(name, 'why not')[0]);
    expect(why.text).toMatch(/restsPercent|targetPercent/);
  });

  it.skipIf(!hasDashboard)('07 dashboard: the page shows a run from start to hearts, and takes orders', async () => {
    const { page, complaints } = dashboardPage!;
    await page.getByText('hearts', { exact: true }).waitFor({ timeout: 90_000 });
    await page
      .getByText(/cut at \d+\.\d °C/)
      .first()
      .waitFor();
    await picture(page, `${version}-dashboard`);
    await page.getByRole('button', { name: 'Hold' }).click();
    await page.getByText('hearts, held').waitFor({ timeout: 15_000 });
    expect(complaints).toEqual([]);
    await browser?.close();
  });

  it('03 two valves: hearts into their can and all else into the other, each told in its own words', async () => {
    const name = '03-receivers-with-two-valves';
    const commands = () => shownBy(name, 'commands').map((one) => one.value as { topic: string; payload: unknown });
    await waitFor('hearts', () => shownBy(name, 'phase').some((one) => one.text === 'hearts'), 100);
    await waitFor(
      'the hearts valve',
      () => commands().some((one) => one.topic === 'cmnd/hearts/POWER' && one.payload === 'ON'),
      30,
    );
    await waitFor(
      'the feints valve',
      () => commands().some((one) => one.topic === 'cmnd/feints/POWER' && one.payload === 'CLOSE'),
      30,
    );
    expect(commands().some((one) => one.topic === 'cmnd/heater/dimmer' && one.payload === 100)).toBe(true);
    expect(shownBy(name, 'refused')).toEqual([]);
  });

  it('05 jars to recipe: filled, tasted, derived, and taken by the run node', async () => {
    const name = '05-jars-to-recipe';
    await waitFor('the end of the run', () => shownBy(name, 'phase').some((one) => one.text === 'finish'), 220);
    const jars = nodeNamed(flows[name]!, 'middlecut-jar-sheet');
    const sheet = nodeNamed(flows[name]!, 'debug', 'sheet');
    const revision = Number(statusOf(sheet));
    await press(name, 'measure and taste');
    await waitFor('the notes', () => Number(statusOf(sheet)) > revision + 20, 30);
    await press(name, 'derive');
    await waitFor('a recipe', () => shownBy(name, 'recipe').length + shownBy(name, 'refused').length > 0, 30);
    expect(shownBy(name, 'refused').map((one) => one.text)).toEqual([]);
    const cuts = shownBy(name, 'recipe')[0]!;
    const white = (cuts.value as { variant: string; headsC: number; tailsC: number }[]).find(
      (one) => one.variant === 'white',
    );
    expect(white!.tailsC).toBeGreaterThan(white!.headsC + 3);
    expect(statusOf(jars)).toMatch(/^\d\d jars$/);
    const kept = nodeNamed(flows[name]!, 'middlecut-recipe').id;
    const recipe = good(
      checkRecipe(JSON.parse(readFileSync(join(host.userDir, 'middlecut', `recipe-${kept}.json`), 'utf8'))),
    );
    expect(recipe.name).toBe('Pears of this autumn');
  }, 320_000);

  it('04 column: equalises at total reflux, then collects', async () => {
    const name = '04-column-with-plateau';
    const phases = () => shownBy(name, 'phase').map((one) => one.text);
    await waitFor('foreshots', () => phases().includes('foreshots'), 150);
    expect(phases().slice(0, 3)).toEqual(['heat-up', 'equalise', 'foreshots']);
  }, 200_000);
});
