import { describe, expect, it } from 'vitest';
import { checkStill } from '../../lib';
import { standsWrong, type View } from '../faults/case';
import { cases } from '../faults/catalogue';
import { campaignStills } from '../faults/stills';
import { good } from '../tools/plants';

const still = good(checkStill(campaignStills.pot.still));

interface Told {
  readonly value: number;
  readonly position: number;
  readonly forS?: number;
}

/** The pot a hundred seconds into something: what one drive was told, and where it stands; all others are as told. */
function view(drive: string, { value, position, forS = 90 }: Told, powerW = 0): View {
  const memories = Object.fromEntries(Object.keys(still.drives).map((id) => [id, { value: 0, changedAtS: 10 }]));
  const positions = Object.fromEntries(Object.keys(still.drives).map((id) => [id, { position: 0, wanted: 0 }]));
  const run = { now: 100, state: 'running', drives: { ...memories, [drive]: { value, changedAtS: 100 - forS } } };
  const drives = { drives: { ...positions, [drive]: { position, wanted: position } } };
  const site = { drives, state: { powerW } };
  return { site, plant: { still }, run, before: run, atS: 100, isOn: true, isWaiting: false } as unknown as View;
}

describe('the judges of the campaign', () => {
  it('call a valve wrong that stands otherwise than it was told, once it had the time to get there', () => {
    expect(standsWrong(view('hearts-valve', { value: 1, position: 1 }))).toBe(false);
    expect(standsWrong(view('hearts-valve', { value: 1, position: 0 }))).toBe(true);
    expect(standsWrong(view('hearts-valve', { value: 1, position: 0, forS: 2 }))).toBe(false);
  });

  it('call heat wrong that draws power when off, or none when more than half on', () => {
    expect(standsWrong(view('heat', { value: 0, position: 0 }, 0))).toBe(false);
    expect(standsWrong(view('heat', { value: 0, position: 0 }, 2000))).toBe(true);
    expect(standsWrong(view('heat', { value: 0.8, position: 0 }, 0))).toBe(true);
    expect(standsWrong(view('heat', { value: 0.3, position: 0 }, 0))).toBe(false);
  });

  it('expect nothing of a drive that reports nothing', () => {
    expect(still.drives.coolant?.reported).toBeUndefined();
    expect(standsWrong(view('coolant', { value: 1, position: 0 }))).toBe(false);
  });

  it('let a disk that is full be a hazard only while a decision waits for it', () => {
    const full = cases.find(({ name }) => name === 'disk full');
    const waiting = { ...view('heat', { value: 0, position: 0 }), isWaiting: true };
    expect(full?.onset(waiting)).toBe(true);
    expect(full?.isPast?.(waiting)).toBe(false);
    expect(full?.onset({ ...waiting, isWaiting: false })).toBe(false);
  });
});
