import { describe, expect, it } from 'vitest';
import { type Command, createController, type Plant, type Run } from '../../lib';
import { commandDrives } from '../../lib/engine/drive';
import { heatState, isDriven, isHot, needsAirPath, needsCoolant } from '../../lib/engine/hot';
import { Story, until } from '../tools/story';
import { play } from '../tools/story-lines';
import { storyPlant } from '../tools/story-still';

const reason = { code: 'drive.phase', numbers: { phase: 'hearts', state: 'running' } };

/** Commands of some seconds, with what was read left as it is. */
function commandsOver(story: Story, seconds: number): Command[] {
  const controller = createController(story.plant, story.run);
  const commands: Command[] = [];
  for (let second = 1; second <= seconds; second += 1) {
    for (const [point, seen] of Object.entries(story.run.image)) {
      controller.put({ point, value: seen.value, atS: story.now + second });
    }
    commands.push(...controller.scan(story.now + second).commands);
  }
  return commands;
}

describe('commands', () => {
  it('repeat heat three times within the time after which its device switches itself off', () => {
    const heat = commandsOver(new Story('pot', 'hearts'), 120).filter((command) => command.drive === 'heat');
    expect(heat.length).toBeGreaterThanOrEqual(11);
    for (const [index, command] of heat.entries()) {
      expect(command.repeat).toBe(true);
      expect(command.value).toBe(0.8);
      if (index > 0) expect(command.issuedAtS - heat[index - 1]!.issuedAtS).toBeLessThanOrEqual(10);
    }
  });

  it('carry an id of their own, when they were issued and how long they may be carried out', () => {
    const commands = commandsOver(new Story('pot', 'hearts'), 120);
    expect(new Set(commands.map((command) => command.id)).size).toBe(commands.length);
    for (const command of commands) expect(command.ttlS).toBe(10);
  });

  it('tell every drive again now and then, so that one that was reset comes back', () => {
    const told = new Set(commandsOver(new Story('pot', 'hearts'), 35).map((command) => command.drive));
    expect([...told].sort()).toEqual(Object.keys(storyPlant('pot').still.drives).sort());
  });

  it('are repeated every five seconds to a drive that says something else', () => {
    const story = new Story('pot', 'hearts');
    play(story, 'drive feints-valve reports 1');
    story.pass(4);
    const commands = commandsOver(story, 30).filter((command) => command.drive === 'feints-valve');
    expect(commands.length).toBeGreaterThanOrEqual(5);
  });

  it('to the safe side are marked, so that they never wait for the store; a cut is not', () => {
    const { plant, run } = new Story('pot', 'hearts');
    const drives = Object.fromEntries(
      Object.entries(run.drives).map(([id, one]) => [id, { ...one, commandedAtS: run.now }]),
    );
    const isSafe = (values: Record<string, number>, code = 'drive.phase'): boolean | undefined => {
      const wanted = Object.fromEntries(
        Object.entries(values).map(([id, value]) => [id, { value, reason: { ...reason, code } }]),
      );
      return commandDrives(plant, { ...run, drives }, wanted).commands[0]?.safe;
    };
    expect(isSafe({ heat: 0 })).toBe(true);
    expect(isSafe({ heat: 0.4 })).toBe(true);
    expect(isSafe({ heat: 1 })).toBe(false);
    expect(isSafe({ contactor: 0 })).toBe(true);
    expect(isSafe({ 'feints-valve': 1 })).toBe(false);
    expect(isSafe({ 'feints-valve': 1 }, 'interlock.open-path')).toBe(true);
    expect(isSafe({ 'hearts-valve': 0 })).toBe(false);
  });

  it('say why the heat goes off: the trip, not the phase', () => {
    const story = new Story('pot', 'hearts');
    const before = story.run;
    play(story, 'coolant-flow 0');
    until(story, 60, () => story.run.trips.length > 0);
    const { reason: why } = story.run.drives.heat!;
    expect(before.drives.heat?.value).toBe(0.8);
    expect(JSON.stringify(why)).toContain('coolant-flow-lost');
  });
});

describe('hot', () => {
  const now = 10_000;

  /** A still with heat told off some time ago and readings as given; what is not given was never heard. */
  function still(
    document: Parameters<typeof storyPlant>[0],
    offForS: number,
    read: Record<string, number>,
  ): { plant: Plant; run: Run } {
    const plant = storyPlant(document);
    const { run } = new Story(document, 'hearts');
    const image = Object.fromEntries(
      Object.entries(read).map(([id, value]) => [
        id,
        { ...run.image['vapour-temp']!, value, quality: 'good' as const, goodAtS: now, atS: now },
      ]),
    );
    const heat = { value: 0, commandedAtS: now - offForS, changedAtS: now - offForS, reason };
    return {
      plant,
      run: { ...run, now, state: 'held', image, drives: { ...run.drives, heat }, heatAtS: now - offForS },
    };
  }
  const ask = <T>(f: (plant: Plant, run: Run, image: Run['image']) => T, { plant, run }: { plant: Plant; run: Run }) =>
    f(plant, run, run.image);

  it('heat is off by its power meter at once, and without one only when the device has switched itself off', () => {
    expect(ask(heatState, still('pot', 1, { 'heat-power': 0 }))).toBe('off');
    expect(ask(heatState, still('pot', 1, { 'heat-power': 900 }))).toBe('on');
    expect(ask(heatState, still('bare-pot', 10, {}))).toBe('unproven');
    expect(ask(heatState, still('bare-pot', 31, {}))).toBe('off');
    expect(ask(heatState, still('pot', 10, {})), 'its meter is not heard').toBe('unproven');
  });

  it('heat that was never told anything is not known to be off', () => {
    const { plant, run } = still('bare-pot', 0, {});
    expect(heatState(plant, { ...run, drives: {} }, run.image)).toBe('unproven');
  });

  it('unknown is hot, and a hot head is hot whatever the boiler says', () => {
    expect(ask(isHot, still('pot', 600, { 'heat-power': 0, 'boiler-temp': 45, 'vapour-temp': 30 }))).toBe(false);
    expect(ask(isHot, still('pot', 600, { 'heat-power': 0, 'boiler-temp': 61, 'vapour-temp': 30 }))).toBe(true);
    expect(ask(isHot, still('pot', 600, { 'heat-power': 0, 'boiler-temp': 45, 'vapour-temp': 70 }))).toBe(true);
    expect(ask(isHot, still('pot', 600, { 'heat-power': 0, 'vapour-temp': 30 })), 'boiler unknown').toBe(true);
  });

  it('the run-on counts: seconds for an element, a quarter of an hour for steam', () => {
    const cold = { 'heat-power': 0, 'boiler-temp': 45, 'vapour-temp': 30 };
    expect(ask(isDriven, still('pot', 5, cold))).toBe(true);
    expect(ask(isDriven, still('pot', 15, cold))).toBe(false);
    expect(ask(isDriven, still('steam-pot', 800, cold))).toBe(true);
    expect(ask(isDriven, still('steam-pot', 1000, cold))).toBe(false);
  });

  it('the air path stays open down to 40 °C, coolant until 15 K below the boiling point', () => {
    const at = (boilerC: number) =>
      still('pot', 600, { 'heat-power': 0, 'boiler-temp': boilerC, 'vapour-temp': 30, 'air-pressure': 962 });
    expect(ask(needsAirPath, at(41))).toBe(true);
    expect(ask(needsAirPath, at(39))).toBe(false);
    expect(ask(needsCoolant, at(72))).toBe(true);
    expect(ask(needsCoolant, at(66))).toBe(false);
  });

  it('a solid fire is out when the boiler says so, and is never commanded', () => {
    const plant = storyPlant('bare-pot');
    const fire = { ...plant.still.drives.heat!, source: 'solid-fire' as const };
    const burning = { ...plant, still: { ...plant.still, drives: { heat: fire as Plant['still']['drives'][string] } } };
    const { run } = still('bare-pot', 600, { 'boiler-temp': 80, 'vapour-temp': 60 });
    expect(heatState(burning, run, run.image)).toBe('unproven');
    const cold = still('bare-pot', 600, { 'boiler-temp': 50, 'vapour-temp': 30 });
    expect(heatState(burning, cold.run, cold.run.image)).toBe('off');
    expect(isDriven(burning, cold.run, cold.run.image)).toBe(false);
  });
});
