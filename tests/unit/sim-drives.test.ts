import { describe, expect, it } from 'vitest';
import {
  createDrives,
  type DriveFaults,
  type DrivesState,
  moveDrives,
  reportedState,
  takeCommand,
} from '../../simulators/model';
import { scenarios, specOf } from '../../simulators/scenarios';

const pot = specOf(scenarios['pot-spirit']).still;
const column = specOf(scenarios['column-spirit']).still;

function pass(state: DrivesState, fromS: number, untilS: number, faults: DriveFaults = {}, mainsOn = true): void {
  for (let second = fromS + 1; second <= untilS; second++) moveDrives(state, second, 1, mainsOn, faults);
}

describe('simulated drives', () => {
  it('start with heat and contactor off and valves where they fail to', () => {
    const { actuators } = createDrives(pot);
    expect(actuators.heat.heat).toBe(0);
    expect(actuators.contactorClosed).toBe(false);
    expect(actuators.coolantShare).toBe(1);
    expect(actuators.receivers).toMatchObject({ 'heads-jar': 0, 'hearts-can': 0, 'feints-can': 1 });
  });

  it('open a valve in its travel time and report the old end until the new one is reached', () => {
    const drives = createDrives(pot);
    expect(takeCommand(drives, 'hearts-valve', 1, 0, 10, 0)).toBe('accepted');
    pass(drives, 0, 2);
    expect(drives.actuators.receivers['hearts-can']).toBeCloseTo(0.5);
    expect(reportedState(drives, 'hearts-valve')).toBe(0);
    pass(drives, 2, 4);
    expect(reportedState(drives, 'hearts-valve')).toBe(1);
    takeCommand(drives, 'hearts-valve', 0, 4, 10, 4);
    pass(drives, 4, 7);
    expect(reportedState(drives, 'hearts-valve')).toBe(1);
    pass(drives, 7, 8);
    expect(reportedState(drives, 'hearts-valve')).toBe(0);
  });

  it('refuse what is too old, unknown or senseless', () => {
    const drives = createDrives(pot);
    expect(takeCommand(drives, 'heat', 1, 0, 10, 10.5)).toBe('expired');
    expect(takeCommand(drives, 'heat', 1, 0, 10, 10)).toBe('accepted');
    expect(takeCommand(drives, 'kettle', 1, 0, 10, 0)).toBe('unknown-drive');
    expect(takeCommand(drives, 'heat', 1.5, 0, 10, 0)).toBe('bad-value');
    expect(takeCommand(drives, 'heat', Number.NaN, 0, 10, 0)).toBe('bad-value');
    expect(takeCommand(drives, 'heat', 'hearts-can', 0, 10, 0)).toBe('bad-value');
    expect(takeCommand(drives, 'heat', 0.5, 0, 10, 0, { heat: { deaf: true } })).toBe('deaf');
  });

  it('cut the heat by themselves when nothing was said for the dead-man time', () => {
    const drives = createDrives(pot);
    takeCommand(drives, 'heat', 0.8, 0, 10, 0);
    pass(drives, 0, 30);
    expect(drives.actuators.heat.heat).toBe(0.8);
    takeCommand(drives, 'heat', 0.8, 25, 10, 25);
    pass(drives, 30, 55);
    expect(drives.actuators.heat.heat).toBe(0.8);
    pass(drives, 55, 56);
    expect(drives.actuators.heat.heat).toBe(0);
    expect(drives.drives.heat!.deadManFired).toBe(true);
    pass(drives, 56, 500);
    expect(drives.actuators.heat.heat).toBe(0);
  });

  it('fall to their resting positions without mains and stay there when it is back', () => {
    const drives = createDrives(pot);
    for (const id of ['heat', 'main-contactor', 'hearts-valve']) takeCommand(drives, id, 1, 0, 10, 0);
    takeCommand(drives, 'tails-valve', 0, 0, 10, 0);
    pass(drives, 0, 10);
    expect(drives.actuators.receivers).toMatchObject({ 'hearts-can': 1, 'feints-can': 0 });
    pass(drives, 10, 20, {}, false);
    expect(drives.actuators.heat.heat).toBe(0);
    expect(drives.actuators.contactorClosed).toBe(false);
    expect(drives.actuators.receivers).toMatchObject({ 'hearts-can': 0, 'feints-can': 1 });
    pass(drives, 20, 29);
    expect(drives.actuators.heat.heat).toBe(0);
  });

  it('keep heating with welded contacts, while the relay says it is off', () => {
    const drives = createDrives(pot);
    takeCommand(drives, 'heat', 0.7, 0, 10, 0);
    pass(drives, 0, 5);
    const welded: DriveFaults = { heat: { welded: true } };
    takeCommand(drives, 'heat', 0, 5, 10, 5);
    pass(drives, 5, 100, welded);
    expect(drives.actuators.heat.heat).toBe(0.7);
    expect(reportedState(drives, 'heat')).toBe(0);
    pass(drives, 100, 101);
    expect(drives.actuators.heat.heat).toBe(0);
  });

  it('never weld a heat that was not on', () => {
    const drives = createDrives(pot);
    pass(drives, 0, 20, { heat: { welded: true } });
    expect(drives.actuators.heat.heat).toBe(0);
  });

  it('stick where they are, or at a given place', () => {
    const drives = createDrives(pot);
    takeCommand(drives, 'hearts-valve', 1, 0, 10, 0);
    pass(drives, 0, 2);
    pass(drives, 2, 60, { 'hearts-valve': { stuckAt: 'here' }, 'tails-valve': { stuckAt: 0 } });
    expect(drives.actuators.receivers['hearts-can']).toBeCloseTo(0.5);
    expect(drives.actuators.receivers['feints-can']).toBe(0);
    expect(reportedState(drives, 'hearts-valve')).toBe(0);
  });

  it('move a diverter by name, with an open path all the way', () => {
    const drives = createDrives(column);
    expect(takeCommand(drives, 'spout', 'hearts-can', 0, 10, 0)).toBe('accepted');
    expect(takeCommand(drives, 'spout', 'bucket', 0, 10, 0)).toBe('bad-value');
    for (let second = 1; second <= 6; second++) {
      moveDrives(drives, second, 1, true);
      const open = Object.values(drives.actuators.receivers).reduce((sum, share) => sum + share, 0);
      expect(open).toBe(1);
      expect(reportedState(drives, 'spout')).toBe(second < 6 ? (second === 3 ? 1 : -1) : 2);
    }
    expect(drives.actuators.receivers['hearts-can']).toBe(1);
  });

  it('round a share to on or off where the drive knows no more', () => {
    const drives = createDrives(pot);
    takeCommand(drives, 'coolant', 0.4, 0, 10, 0);
    pass(drives, 0, 1);
    expect(drives.actuators.coolantShare).toBe(0);
  });
});
