import { describe, expect, it } from 'vitest';
import { checkRecipe, checkStill } from '../../lib';
import type { Offer } from '../../nodes/shared/session';
import { createSimulation } from '../../nodes/shared/simulation';
import { pearSpirit } from '../../simulators/scenarios';
import { createVirtualKeep, createVirtualNode, type VirtualNode } from '../tools/node-red-virtual';
import { good } from '../tools/plants';
import { smallPot } from '../tools/small-still';

const still = good(checkStill(smallPot));
const offer: Offer = {
  recipe: good(checkRecipe(pearSpirit)),
  variant: 'white',
  charge: { volumeL: 18, strengthAbv: 0.29 },
  unusable: null,
};
const simulate = () => createSimulation({ still, chargeL: 18, chargeAbv: 0.29, seed: 7 });

/** Lets node and simulated still live together for some seconds, or until `until`. */
async function live(
  node: VirtualNode,
  simulation: ReturnType<typeof simulate>,
  seconds: number,
  until: () => boolean = () => false,
): Promise<number> {
  let obeyed = node.sent.drives.length;
  for (let second = 0; second < seconds; second += 1) {
    for (const { point, value } of simulation.advance(simulation.atS + 1)) node.give({ topic: point, payload: value });
    await node.timers.advance(1000);
    for (const message of node.sent.drives.slice(obeyed)) {
      const command = message.command as { value: number; ttlS: number };
      expect(simulation.command(String(message.drive), command.value, command.ttlS)).toBe(true);
    }
    obeyed = node.sent.drives.length;
    if (second % 600 === 599) node.order('attend');
    if (until()) return second;
  }
  return seconds;
}

const phases = (node: VirtualNode) => node.sent.phase.map((one) => one.payload);

describe('run node, a whole run in virtual time', () => {
  it('goes from order to cool-down, switches receivers and says why', async () => {
    const node = createVirtualNode({ still, offer });
    const simulation = simulate();
    await live(node, simulation, 30);
    node.order('start');
    await live(node, simulation, 40_000, () => node.session.run.phase === 'cool-down');
    expect(phases(node)).toEqual(['heat-up', 'foreshots', 'heads', 'hearts', 'tails', 'finish', 'cool-down']);
    expect(node.errors).toEqual([]);
    const switched = node.events('receiver').map((event) => event.to);
    expect(switched.slice(0, 3)).toEqual(['heads-jar', 'hearts-can', 'feints-can']);
    const hearts = node.sent.phase.find((one) => one.payload === 'tails');
    expect(hearts?.reason).toMatch(/vapour \d+\.\d °C at or above/);
    for (const message of node.sent.drives) expect(String(message.reason)).not.toBe('');
    const volumes = simulation.truth().receivers;
    expect(volumes['hearts-can']!.volumeL).toBeGreaterThan(2);
    expect(volumes['hearts-can']!.strengthVolPercent).toBeGreaterThan(55);
    expect(node.sent.drives.filter((one) => one.drive === 'heat').at(-1)?.payload).toBe(0);
  }, 60_000);

  it('is held with the heat off after a crash in hearts, and resumes on order with nothing lost', async () => {
    const keep = createVirtualKeep();
    const simulation = simulate();
    const before = createVirtualNode({ still, offer, keep });
    await live(before, simulation, 5);
    before.order('start');
    await live(before, simulation, 20_000, () => before.session.run.phase === 'hearts');
    await live(before, simulation, 900);
    const collectedL = before.session.run.estimate.produced.volumeL;
    // A crash: nothing is closed, nothing said; only what was written down is there.
    const after = createVirtualNode({ still, offer, keep });
    await live(after, simulation, 3);
    expect(after.session.run.state).toBe('held');
    expect(after.session.run.phase).toBe('hearts');
    expect(after.sent.drives.find((one) => one.drive === 'heat')?.payload).toBe(0);
    expect(after.sent.drives.filter((one) => one.drive === 'heat').every((one) => one.payload === 0)).toBe(true);
    expect(after.session.run.estimate.produced.volumeL).toBeGreaterThan(collectedL - 0.05);
    expect(after.statuses.at(-1)?.text).toMatch(/^held/);
    after.order('resume');
    await live(after, simulation, 6000, () => after.session.run.resume === null);
    expect(after.session.run.phase).toBe('hearts');
    await live(after, simulation, 20_000, () => after.session.run.phase === 'cool-down');
    expect(phases(after)).toEqual(['tails', 'finish', 'cool-down']);
  }, 60_000);
});
