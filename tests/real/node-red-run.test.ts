import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { recipeNode, stillOnTab } from '../tools/node-red-flows';
import { type FlowNode, type NodeRedHost, onBothNodeReds, startNodeRed, waitFor } from '../tools/node-red-host';

/** Times as fast as life: a run is in hearts after some twenty seconds. */
const speed = 100;

onBothNodeReds('the run node', (version) => {
  let host: NodeRedHost;
  const flows = [
    recipeNode,
    ...stillOnTab('bench', 1, false),
    ...stillOnTab('east', speed, true),
    ...stillOnTab('west', speed, true),
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
  /** What the drives were told since Node-RED last said something, for example that it stops its flows. */
  const toldSince = (from: number, said: string) => {
    const log = host.log().slice(from);
    return [...log.slice(log.indexOf(said)).matchAll(/TOLD (\S+)=(\S+) (.*)/g)].map((found) => ({
      drive: found[1]!,
      value: found[2]!,
      reason: found[3]!,
    }));
  };
  const phases = (id: string) => shown('phase', id).map((one) => one.text);

  beforeAll(async () => {
    host = await startNodeRed({ version });
    await host.deploy(flows);
    await waitFor('the first readings', () => /°C/.test(status('east')) && /°C/.test(status('west')));
    // They heat up while the other things are tried.
    await order('east', 'start');
    await order('west', 'start');
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

  it('keeps several stills apart, one of them with hearts while the other is stopped', async () => {
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
    const before = host.log().length;
    await host.deploy(flows, 'full');
    await waitFor('held', () => /^held/.test(status('east')));
    const heat = toldSince(before, 'Stopping flows').filter((one) => one.drive === 'heat');
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
    // A decision is written down before its commands leave: everything up to it must be there afterwards.
    await put('east', { topic: 'order', payload: { order: 'note', text: 'smells of pears' } });
    await waitFor('the note', () => shown('events', 'east').some((one) => /note/.test(one.text)));
    const collectedL = Number(state('east')?.collectedL);
    expect(collectedL).toBeGreaterThan(0.5);
    await new Promise((written) => setTimeout(written, 300));
    const before = host.log().length;
    await host.crash();
    await waitFor('held', () => /^held/.test(status('east')), 30);
    const heat = () => toldSince(before, 'Welcome to Node-RED').filter((one) => one.drive === 'heat');
    await waitFor('the first word to the heater', () => heat().length > 0);
    expect(heat().every((one) => one.value === '0')).toBe(true);
    await waitFor('the state', () => state('east')?.state === 'held');
    const after = state('east')!;
    expect(after).toMatchObject({ phase: 'hearts' });
    expect(Number(after.collectedL)).toBeGreaterThanOrEqual(collectedL);
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
