import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { floodEnd, floodOnTab, recipeNode, stillOnTab } from '../tools/node-red-flows';
import { type FlowNode, type NodeRedHost, type NodeRedVersion, startNodeRed, waitFor } from '../tools/node-red-host';

/** What the event loop did during a flood [ms]. */
interface Flood {
  readonly sent: number;
  readonly seconds: number;
  readonly meanMs: number;
  readonly p99Ms: number;
  readonly maxMs: number;
  /** Without the time for which the process stood in the queue for a core. */
  readonly ownMaxMs: number;
}

const limitMs = 50;

describe.each<NodeRedVersion>([5, 4])('a flood of messages on Node-RED %i', (version) => {
  let host: NodeRedHost;
  const bench = [recipeNode, ...stillOnTab('bench', 1, false)];
  const toBench: FlowNode[] = [...bench, ...floodOnTab('end'), floodEnd('tab-bench', 'end', 'run-bench')];
  // The same messages the same way, and nobody there who makes anything of them.
  const toNobody: FlowNode[] = [...bench, ...floodOnTab('end'), floodEnd('tab-bench', 'end', 'caught-none')];

  beforeAll(async () => {
    host = await startNodeRed({ version });
  });
  afterAll(() => host?.stop());

  const flood = async (seconds: number, blockMs = 0): Promise<Flood> => {
    const headers = { 'content-type': 'application/json' };
    const body = JSON.stringify({ seconds, blockMs });
    const found = (await (await fetch(`${host.url}/flood`, { method: 'POST', headers, body })).json()) as Flood;
    expect(found.sent).toBe(seconds * 10_000);
    expect(found.seconds).toBeLessThan(seconds + 1);
    return found;
  };

  it('is measured by something that notices a node that blocks', async () => {
    await host.deploy(toNobody);
    expect((await flood(1, 80)).ownMaxMs).toBeGreaterThan(60);
  });

  it('of 10 000 a second is stood with an event loop that lags less than 50 ms', async () => {
    const reference = await flood(2);
    await host.deploy(toBench);
    // The best of three, because another program on this computer may stop ours for longer than the limit: what the
    // flood costs is there in every round. Time in the queue for a core is left out of the longest lag; the figure
    // with it is printed beside it.
    const rounds: Flood[] = [];
    do rounds.push(await flood(3));
    while (rounds.length < 3 && rounds.every((one) => one.ownMaxMs >= limitMs));
    console.log(`flood on Node-RED ${version}: without the run node ${JSON.stringify(reference)}`);
    for (const round of rounds) console.log(`  with it ${JSON.stringify(round)}`);
    expect(Math.min(...rounds.map(({ p99Ms }) => p99Ms))).toBeLessThan(limitMs);
    expect(Math.min(...rounds.map((one) => one.ownMaxMs))).toBeLessThan(limitMs);
  }, 60_000);

  it('leaves one complaint about the rubbish in it, and the node as it was', async () => {
    const caught = host.shown.filter(({ id }) => id === 'caught-bench');
    expect(caught.filter(({ text }) => /rubbish/.test(text))).toHaveLength(1);
    const put = { method: 'POST', headers: { 'content-type': 'application/json' } };
    const message = { topic: 'vapour-temp', payload: 66.6 };
    await fetch(`${host.url}/to/bench`, { ...put, body: JSON.stringify({ message }) });
    await waitFor('the reading after the flood', () => /66\.6/.test(host.status['run-bench']?.text ?? ''));
    await waitFor('the state', () => host.shown.some(({ id }) => id === 'state-bench'));
    const state = host.shown.filter(({ id }) => id === 'state-bench').at(-1)?.value;
    expect(state).toMatchObject({ state: 'idle' });
  });
});
