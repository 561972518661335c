import { describe, expect, it } from 'vitest';
import type { Run } from '../../lib';
import { followReceivers, openReceivers } from '../../lib/engine/receivers';
import { Story, until } from '../tools/story';
import { play } from '../tools/story-lines';

const positions = (story: Story) =>
  Object.fromEntries(['heads', 'hearts', 'feints'].map((id) => [id, story.world.drives[`${id}-valve`]?.position]));

/** Every second of some time: how many valves stood open. */
function openOver(story: Story, seconds: number): number[] {
  const open: number[] = [];
  for (let second = 0; second < seconds; second += 1) {
    story.step();
    open.push(Object.values(positions(story)).filter((position) => position === 1).length);
  }
  return open;
}

describe('a switch of receivers', () => {
  it('opens the new one, proves it, and only then closes the old one', () => {
    const story = new Story('pot', 'heads');
    story.give('cut');
    const open = openOver(story, 30);
    expect(Math.min(...open)).toBe(1);
    expect(Math.max(...open)).toBe(2);
    expect(positions(story)).toEqual({ heads: 0, hearts: 1, feints: 0 });
    expect(story.run.switching).toBeNull();
  });

  it('turns back when the fraction changes while the new one is still opening', () => {
    const story = new Story('pot', 'heads');
    const { plant, run } = story;
    const opening: Run = {
      ...run,
      spout: { fraction: 'tails', pending: null },
      switching: { from: 'heads', to: 'hearts', sinceS: run.now, step: 'opening' },
    };
    const turned = followReceivers(plant, { run: opening, events: [] }).run;
    // The hearts valve still says that it is closed, so the way back is done at once.
    expect(turned).toMatchObject({ switching: null, receiver: 'heads' });
    expect(openReceivers(turned)).toEqual(['heads']);
  });

  it('goes on from the new one when the fraction changes while the old one is closing', () => {
    const story = new Story('pot', 'heads');
    const { plant, run } = story;
    const closing: Run = {
      ...run,
      spout: { fraction: 'tails', pending: null },
      switching: { from: 'heads', to: 'hearts', sinceS: run.now, step: 'closing' },
    };
    const turned = followReceivers(plant, { run: closing, events: [] }).run;
    expect(turned.switching).toMatchObject({ from: 'hearts', to: 'feints', step: 'opening' });
    expect(openReceivers(turned)).toEqual(['hearts', 'feints']);
  });

  it('ends in the right receiver, one way or the other, however often the fraction changes its mind', () => {
    for (const afterS of [1, 2, 4, 6, 9]) {
      const story = new Story('pot', 'heads');
      story.give('cut');
      story.pass(afterS);
      story.give('undo-cut');
      story.pass(40);
      expect(positions(story), `undone after ${afterS} s`).toEqual({ heads: 1, hearts: 0, feints: 0 });
      expect(story.run.switching).toBeNull();
      expect(story.broken).toEqual([]);
    }
  });

  it('moves a diverter straight to its new goal', () => {
    const story = new Story('column', 'hearts');
    story.give('hold');
    story.step();
    story.give('resume');
    story.pass(2);
    expect(story.run.drives.spout?.value).toBe('feints');
    expect(until(story, 30, () => story.run.receiver === 'feints')).not.toBeNull();
  });

  it('with a proof that is not heard counts as not made', () => {
    const story = new Story('pot', 'heads');
    play(story, 'hearts-state silent');
    story.pass(70);
    story.give('cut');
    expect(until(story, 30, () => story.run.trips.some((trip) => trip.id === 'receiver-stuck'))).not.toBeNull();
    expect(positions(story).heads).toBe(1);
  });

  it('is not begun by hand where valves of ours stand', () => {
    const story = new Story('pot', 'heads');
    expect(story.ask('spout-moved', { target: 'hearts' })).toBe('refused.spout-driven');
    expect(story.run.receiver).toBe('heads');
  });
});

describe('after a restart', () => {
  it('the first receiver is opened and proven before another closes', () => {
    const story = new Story('pot', 'hearts');
    play(story, 'power cut');
    story.pass(60);
    expect(positions(story)).toEqual({ heads: 0, hearts: 0, feints: 1 });
    play(story, 'power back');
    const open = openOver(story, 40);
    expect(Math.min(...open)).toBe(1);
    expect(positions(story)).toEqual({ heads: 0, hearts: 1, feints: 0 });
    expect(story.run.state).toBe('held');
  });

  it('what stood in the receivers is still counted, and a new run does not forget it', () => {
    const story = new Story('bare-pot', 'hearts');
    const before = story.run.estimate.produced.byReceiver;
    expect(Object.values(before).some((volumeL) => volumeL > 0)).toBe(true);
    story.restart();
    story.step();
    expect(story.run.estimate.produced.byReceiver).toEqual(before);
    for (const receiver of Object.keys(before)) expect(story.ask('receiver-emptied', { target: receiver })).toBeNull();
    expect(Object.values(story.run.estimate.produced.byReceiver).every((volumeL) => volumeL === 0)).toBe(true);
  });
});
