import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { pearSpirit } from '../../simulators/scenarios';
import { type FlowNode, type NodeRedHost, type NodeRedVersion, startNodeRed, waitFor } from '../tools/node-red-host';
import { smallPot } from '../tools/small-still';

const still = (id: string, speed: number): FlowNode => ({
  id: `still-${id}`,
  type: 'middlecut-still',
  source: 'typed',
  document: JSON.stringify({ ...smallPot, id }),
  language: 'en',
  temperature: 'C',
  speed,
});
const recipe: FlowNode = {
  id: 'recipe',
  type: 'middlecut-recipe',
  source: 'typed',
  document: JSON.stringify(pearSpirit),
};

/** A run node with a place to put messages in and debug nodes on every output. */
function stillOnTab(id: string, speed: number, simulated: boolean): FlowNode[] {
  const z = `tab-${id}`;
  const debug = (name: string, complete = 'true'): FlowNode => ({
    id: `${name}-${id}`,
    type: 'debug',
    z,
    name,
    active: true,
    tosidebar: true,
    console: false,
    tostatus: false,
    complete,
    x: 700,
    y: 100,
    wires: [],
  });
  const run: FlowNode = {
    id: `run-${id}`,
    type: 'middlecut-run',
    z,
    name: id,
    still: `still-${id}`,
    recipe: 'recipe',
    variant: 'white',
    chargeL: 18,
    chargeVolPercent: 29,
    readings: [],
    timeProperty: 'timestamp',
    timeType: 'msg',
    commands: [],
    ordersFrom: 'still',
    onClose: 'safe',
    stateEveryS: 1,
    x: 400,
    y: 100,
    wires: [
      [...(simulated ? [`sim-${id}`] : []), `drives-${id}`, `last-${id}`],
      [`phase-${id}`],
      [`alarms-${id}`],
      [`events-${id}`],
      [`state-${id}`],
    ],
  };
  return [
    { id: z, type: 'tab', label: id },
    still(id, speed),
    {
      id: `in-${id}`,
      type: 'http in',
      z,
      url: `/to/${id}`,
      method: 'post',
      x: 100,
      y: 100,
      wires: [[`ok-${id}`, `unpack-${id}`]],
    },
    { id: `ok-${id}`, type: 'http response', z, x: 250, y: 60, wires: [] },
    // One message, or the same one many times over; JSON cannot carry everything that a flow can.
    {
      id: `unpack-${id}`,
      type: 'function',
      z,
      x: 250,
      y: 100,
      outputs: 1,
      wires: [[`run-${id}`]],
      func: `const { message, times = 1, make } = msg.payload;
const built = make ? eval(make) : message;
for (let n = 0; n < times; n += 1) node.send({ ...built });
return null;`,
    },
    ...(simulated
      ? [
          {
            id: `sim-${id}`,
            type: 'middlecut-simulated-still',
            z,
            still: `still-${id}`,
            chargeL: 18,
            chargeVolPercent: 29,
            seed: 4,
            x: 100,
            y: 200,
            wires: [[`run-${id}`], []],
          },
        ]
      : []),
    run,
    debug('drives'),
    debug('phase', 'payload'),
    debug('alarms', 'payload'),
    debug('events', 'payload'),
    debug('state', 'payload'),
    // A node wired straight to the commands: what it logs it has really received.
    {
      id: `last-${id}`,
      type: 'function',
      z,
      x: 700,
      y: 300,
      outputs: 0,
      wires: [],
      func: `node.log('TOLD ' + msg.drive + '=' + msg.payload + ' ' + msg.reason);`,
    },
    { id: `catch-${id}`, type: 'catch', z, scope: [`run-${id}`], x: 100, y: 400, wires: [[`caught-${id}`]] },
    debug('caught', 'error.message'),
  ];
}

describe.each<NodeRedVersion>([5, 4])('the run node in Node-RED %i', (version) => {
  let host: NodeRedHost;
  const flows = [
    recipe,
    ...stillOnTab('bench', 1, false),
    ...stillOnTab('east', 60, true),
    ...stillOnTab('west', 60, true),
  ];
  const put = async (id: string, message: unknown, more: object = {}) => {
    const answer = await fetch(`${host.url}/to/${id}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ message, ...more }),
    });
    if (!answer.ok) throw new Error(`${answer.status}`);
  };
  const order = (id: string, word: string) => put(id, { topic: 'order', payload: word });
  const shown = (name: string, id: string) => host.shown.filter((one) => one.id === `${name}-${id}`);
  const caught = (id: string) => shown('caught', id).map((one) => one.text);
  const state = (id: string) => shown('state', id).at(-1)?.value as Record<string, unknown> | undefined;
  const status = (id: string) => host.status[`run-${id}`]?.text ?? '';
  const told = () =>
    [...host.log().matchAll(/TOLD (\S+)=(\S+) (.*)/g)].map((found) => ({
      drive: found[1]!,
      value: found[2]!,
      reason: found[3]!,
    }));
  const phases = (id: string) => shown('phase', id).map((one) => one.text);

  beforeAll(async () => {
    host = await startNodeRed({ version });
    await host.deploy(flows);
    await waitFor('the first readings', () => /°C/.test(status('east')) && /°C/.test(status('west')));
  });
  afterAll(() => host?.stop());

  it('meets every bad message with one clear error to Catch, its state unharmed', async () => {
    await put('bench', { payload: { 'vapour-temp': 78.5, 'air-pressure': 964 } });
    await waitFor('the reading', () => /78\.5/.test(status('bench')));
    const bad: readonly (readonly [object, RegExp])[] = [
      [{ message: { topic: 'vapour-temp' } }, /no value at msg\.payload/],
      [{ message: { topic: 'boiler-temp', payload: 'hot' } }, /boiler-temp: .*holds "hot" where a number belongs/],
      [{ message: { topic: 'vapour-temp', payload: 78, unit: 'hPa' } }, /the unit hPa does not fit/],
      [{ message: { topic: 'vapour-temp', payload: 78, timestamp: 1_600_000_000_000 } }, /is \d+ s old/],
      [{ message: { topic: 'elsewhere', payload: 3 } }, /topic elsewhere is no point/],
      [{ make: '({ topic: "vapour-temp", payload: NaN })' }, /is not a number/],
      [
        {
          make: '(() => { const m = { topic: "coolant-flow", payload: {} }; m.payload.self = m.payload; return m; })()',
        },
        /coolant-flow: .*where a number belongs/,
      ],
      [
        { make: '({ topic: "product-temp", payload: Buffer.from([255, 0, 128]) })' },
        /product-temp: .*where a number belongs/,
      ],
      [{ make: '({ topic: "order", payload: { order: "start", colour: "blue" } })' }, /not an order: .*colour/],
      [{ message: { topic: 'order', payload: 'resume' } }, /resume refused: .*idle/],
      [{ message: { topic: 'recipe', payload: { recipe: 7 } } }, /takes its recipe from its settings/],
    ];
    for (const [sent, expected] of bad) {
      const before = caught('bench').length;
      await put('bench', undefined, sent);
      await waitFor(
        String(expected),
        () =>
          caught('bench')
            .slice(before)
            .some((text) => expected.test(text)),
        5,
      );
    }
    expect(host.log()).not.toMatch(/TypeError|Uncaught/);
    expect(state('bench')).toMatchObject({ state: 'idle', phase: 'idle' });
    await put('bench', { topic: 'vapour-temp', payload: 79.5 });
    await waitFor('the next good reading', () => /79\.5/.test(status('bench')));
  });

  it('stands a flood of 10 000 messages a second with an event loop that lags less than 50 ms', async () => {
    const probe: FlowNode[] = [
      { id: 'tab-lag', type: 'tab', label: 'lag' },
      {
        id: 'flood-in',
        type: 'http in',
        z: 'tab-lag',
        url: '/flood',
        method: 'post',
        x: 100,
        y: 40,
        wires: [['flood']],
      },
      {
        id: 'flood',
        type: 'function',
        z: 'tab-lag',
        x: 250,
        y: 40,
        outputs: 2,
        wires: [['link'], ['flood-out']],
        // 100 messages every 10 ms for 5 s, of all points and with some rubbish among them.
        func: `const lag = global.get('lag'); lag.reset(); let sent = 0; const begun = Date.now();
const points = ['vapour-temp', 'boiler-temp', 'air-pressure', 'product-temp', 'rubbish'];
const timer = setInterval(() => {
  const due = Math.min(50000, Math.floor((Date.now() - begun) * 10));
  while (sent < due) { node.send([{ topic: points[sent % 5], payload: points[sent % 5] === 'air-pressure' ? 964 : 78 + Math.sin(sent / 1000) }, null]); sent += 1; }
  if (sent < 50000) return;
  clearInterval(timer);
  setTimeout(() => node.send([null, { ...msg, payload: { sent, seconds: (Date.now() - begun) / 1000, meanMs: lag.mean / 1e6, p99Ms: lag.percentile(99) / 1e6, maxMs: lag.max / 1e6 } }]), 200);
}, 10);
return null;`,
      },
      { id: 'link', type: 'link out', z: 'tab-lag', mode: 'link', links: ['link-bench'], x: 400, y: 40, wires: [] },
      { id: 'flood-out', type: 'http response', z: 'tab-lag', x: 400, y: 80, wires: [] },
      { id: 'link-bench', type: 'link in', z: 'tab-bench', links: ['link'], x: 250, y: 140, wires: [['run-bench']] },
    ];
    await host.deploy([...flows.filter((node) => !/east|west/.test(`${node.z} ${node.id}`)), ...probe], 'flows');
    // The best of three: what else the computer does meanwhile is not ours to answer for.
    let best = Number.POSITIVE_INFINITY;
    for (let attempt = 0; attempt < 3 && best >= 50; attempt += 1) {
      const found = (await (await fetch(`${host.url}/flood`, { method: 'POST' })).json()) as Record<string, number>;
      expect(found.sent).toBe(50_000);
      expect(found.seconds).toBeLessThan(6);
      console.log(`flood on Node-RED ${version}: ${JSON.stringify(found)}`);
      best = Math.min(best, found.p99Ms!);
    }
    expect(best).toBeLessThan(50);
    expect(caught('bench').filter((text) => /rubbish/.test(text))).toHaveLength(1);
    await put('bench', { topic: 'vapour-temp', payload: 66.6 });
    await waitFor('the reading after the flood', () => /66\.6/.test(status('bench')));
    expect(state('bench')).toMatchObject({ state: 'idle' });
  }, 60_000);

  it('keeps several stills apart, one of them with hearts while the other is stopped', async () => {
    await host.deploy(flows, 'full');
    await waitFor('the first readings', () => /°C/.test(status('east')) && /°C/.test(status('west')));
    await order('east', 'start');
    await order('west', 'start');
    const both = () => phases('east').includes('hearts') && phases('west').includes('hearts');
    await waitFor('hearts', both, 100).catch((error: Error) => {
      throw new Error(`${error.message}: ${JSON.stringify([state('east'), state('west')])}`);
    });
    await order('west', 'stop');
    await waitFor('west to end', () => phases('west').some((phase) => phase === 'finish' || phase === 'cool-down'), 30);
    expect(state('east')).toMatchObject({ state: 'running', phase: 'hearts' });
  }, 150_000);

  it('a second run node on the same still is refused', async () => {
    const rival: FlowNode = {
      ...flows.find((node) => node.id === 'run-bench')!,
      id: 'run-rival',
      name: 'rival',
      wires: [[], [], [], [], []],
    };
    await host.deploy([...flows, rival], 'nodes');
    await waitFor('the refusal', () => host.status['run-rival']?.text === 'still is taken');
    expect(host.log()).toMatch(/still "bench" is run by another node \(bench\): one node commands a still/);
    await host.deploy(flows, 'nodes');
  });

  it('a redeploy in the middle of hearts: heat off at once, held afterwards, resumed on order', async () => {
    expect(state('east')).toMatchObject({ phase: 'hearts', state: 'running' });
    const before = told().length;
    await host.deploy(flows, 'full');
    await waitFor('held', () => /^held/.test(status('east')));
    const heat = told()
      .slice(before)
      .filter((one) => one.drive === 'heat');
    // The farewell of the old node, handed to the wired node while it still listened; then the new node's first word.
    expect(heat[0]).toMatchObject({
      value: '0',
      reason: expect.stringMatching(/held until an operator orders resume/),
    });
    expect(heat.every((one) => one.value === '0')).toBe(true);
    await waitFor('the state', () => state('east')?.state === 'held');
    expect(state('east')).toMatchObject({ phase: 'hearts', recipe: 'Pear spirit' });
    await order('east', 'resume');
    await waitFor('running again', () => /^hearts/.test(status('east')), 20);
    await waitFor(
      'back in hearts',
      () => shown('events', 'east').some((one) => /back where it was|resume\.back/.test(one.text)),
      100,
    );
  });

  it('a crash in the middle of hearts: after the restart held with the heat off, nothing decided is lost', async () => {
    const collectedL = Number(state('east')?.collectedL);
    expect(collectedL).toBeGreaterThan(0.5);
    const before = host.log().length;
    await host.crash();
    await waitFor('held', () => /^held/.test(status('east')), 30);
    const heat = [
      ...host
        .log()
        .slice(before)
        .matchAll(/TOLD heat=(\S+)/g),
    ].map((found) => found[1]);
    await waitFor('the first word to the heater', () => /TOLD heat=/.test(host.log().slice(before)));
    expect(heat.every((value) => value === '0')).toBe(true);
    await waitFor('the state', () => state('east')?.state === 'held');
    const after = state('east')!;
    expect(after).toMatchObject({ phase: 'hearts' });
    // Written down at every decision and every five seconds: at sixty times the speed that is five minutes of simulated time.
    expect(Number(after.collectedL)).toBeGreaterThan(collectedL - 0.7);
    await order('east', 'resume');
    await waitFor('running again', () => state('east')?.state === 'running', 20).catch((error: Error) => {
      throw new Error(`${error.message}: ${caught('east').slice(-3)}; ${JSON.stringify(state('east')?.alarms)}`);
    });
  });

  it('a stop of Node-RED tells the heater off before it goes, and the file can be read by people', async () => {
    const before = host.log().length;
    await host.restart();
    const said = host.log().slice(before);
    const stopped = said.indexOf('Stopping flows');
    expect(said.slice(stopped, said.indexOf('Welcome to Node-RED'))).toMatch(/TOLD heat=0/);
    await waitFor('held', () => /^held/.test(status('east')), 30);
    const files = readdirSync(join(host.userDir, 'middlecut'));
    expect(files).toContain('node-run-east.json');
    const kept = JSON.parse(readFileSync(join(host.userDir, 'middlecut', 'node-run-east.json'), 'utf8'));
    expect(kept.plant.recipe.name).toBe('Pear spirit');
  });

  it('what was written down and cannot be read is told, and never stops the node', async () => {
    const file = join(host.userDir, 'middlecut', 'node-run-east.json');
    await host.deploy(
      flows.filter((node) => node.z !== 'tab-east'),
      'full',
    );
    writeFileSync(file, '{"version":1,"plant":');
    await host.deploy(flows, 'full');
    await waitFor('the warning', () => /what was written down of the last run cannot be read/.test(host.log()));
    await waitFor('idle', () => /^idle/.test(status('east')), 30);
  });
});
