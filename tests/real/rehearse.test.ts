import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { scenarios } from '../../simulators/scenarios';
import { runMiddlecut } from '../tools/daemon-process';

const folder = mkdtempSync(join(tmpdir(), 'middlecut-rehearse-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Rehearsed {
  readonly phases: readonly { phase: string; volumeL: number; strengthAbv: number | null; sharePercent: number }[];
  readonly receivers: readonly { receiver: string; volumeL: number; overflows: boolean }[];
  readonly asked: readonly { from: string; why: string }[];
}

async function rehearse(still: object, recipe: object, ...more: string[]): Promise<Rehearsed> {
  writeFileSync(join(folder, 'still.json'), JSON.stringify(still));
  writeFileSync(join(folder, 'recipe.json'), JSON.stringify(recipe));
  const args = ['rehearse', '--still', 'still.json', '--recipe', 'recipe.json', ...more, '--json'];
  const running = runMiddlecut(args, { cwd: folder });
  expect(await running.exited, running.text()).toBe(0);
  return JSON.parse(running.text()) as Rehearsed;
}

const { still, recipe } = scenarios['pot-spirit'];
const charge = ['--charge-l', '50', '--charge-percent', '28'];

describe('rehearse', () => {
  it('tells fractions, strengths and receivers of a recipe on a still, deeper for oak than white', async () => {
    const white = await rehearse(still, recipe, '--variant', 'white', ...charge);
    const oak = await rehearse(still, recipe, '--variant', 'for-oak', ...charge);
    const hearts = (one: Rehearsed) => one.phases.find((line) => line.phase === 'hearts')!;
    expect(hearts(white).strengthAbv).toBeGreaterThan(0.7);
    expect(hearts(oak).volumeL).toBeGreaterThan(hearts(white).volumeL);
    expect(hearts(oak).strengthAbv).toBeLessThan(hearts(white).strengthAbv!);
    const all = white.phases.reduce((sum, line) => sum + line.sharePercent, 0);
    expect(all).toBeGreaterThan(90);
    expect(all).toBeLessThan(100);
    expect(white.asked).toEqual([]);
  });

  it('warns of a receiver that overflows', async () => {
    const small = {
      ...still,
      receivers: { ...still.receivers, 'hearts-can': { capacityL: 6, takes: ['hearts'] } },
    };
    const rehearsed = await rehearse(small, recipe, ...charge);
    expect(rehearsed.receivers.find((one) => one.receiver === 'hearts-can')?.overflows).toBe(true);
  });

  it('warns of a heads cut that is already passed when the vapour arrives: it would be asked', async () => {
    const early = {
      ...recipe,
      variants: {},
      phases: recipe.phases
        .filter((step) => step.phase !== 'foreshots')
        .map((step) =>
          step.phase === 'heads' ? { phase: 'heads', endsWhen: { test: 'vapour-temp', atLeastC: 79 } } : step,
        ),
    };
    const rehearsed = await rehearse(still, early, ...charge);
    expect(rehearsed.asked.map((one) => one.from)).toContain('heads');
    expect(rehearsed.asked[0]?.why).toMatch(/already true when the phase began/);
  });
});
