import { describe, expect, it } from 'vitest';
import type { Command, Run } from '../../lib';
import { brokenRules, type Scanned } from '../tools/safety-invariants';
import { Story } from '../tools/story';

/*
 * The rules that stories and property tests check after every scan, each broken on purpose: a rule that could not be
 * broken would prove nothing.
 */
const { plant, run } = new Story('pot', 'hearts');
const reason = { code: 'drive.phase', numbers: { phase: 'hearts', state: 'running' } };
const trip = { id: 'dry-boil:boiler-temp', atS: 0, reason };
const scanned = (more: Partial<Scanned> = {}): Scanned => ({
  plant,
  before: run,
  run,
  events: [],
  commands: [],
  ...more,
});
const command = (drive: string, value: number, more: Partial<Command> = {}): Command => ({
  id: 'c',
  drive,
  value,
  issuedAtS: 0,
  ttlS: 10,
  repeat: false,
  safe: false,
  reason,
  ...more,
});
const told = (values: Readonly<Record<string, number>>): Run['drives'] => ({
  ...run.drives,
  ...Object.fromEntries(
    Object.entries(values).map(([id, value]) => [id, { value, commandedAtS: 0, changedAtS: 0, reason }]),
  ),
});

describe('rules of safety', () => {
  it('hold in a healthy run', () => {
    expect(brokenRules(scanned())).toEqual([]);
  });

  it('are broken by heat under a trip, or in any state but running', () => {
    expect(brokenRules(scanned({ run: { ...run, trips: [trip] } })).join()).toContain('while dry-boil');
    expect(brokenRules(scanned({ run: { ...run, state: 'held' } })).join()).toContain('while held');
  });

  it('are broken by a close that leaves no receiver open', () => {
    const shut = { ...run, drives: told({ 'heads-valve': 0, 'hearts-valve': 0, 'feints-valve': 0 }) };
    expect(brokenRules(scanned({ run: shut, commands: [command('hearts-valve', 0)] })).join()).toContain(
      'all receivers closed',
    );
  });

  it('are broken by hearts opened for anything else', () => {
    const heads = { ...run, receiver: 'heads', spout: { fraction: 'heads' as const, pending: null } };
    const broken = brokenRules(scanned({ before: heads, run: heads, commands: [command('hearts-valve', 1)] }));
    expect(broken.join()).toContain('opened for heads');
  });

  it('are broken by a trip that goes without an order, or unanswered', () => {
    const before = { ...run, trips: [trip] };
    expect(brokenRules(scanned({ before })).join()).toContain('without an order');
    const order = { id: 'o', kind: 'resume' as const, by: 'Ada', from: 'still' as const };
    const events = [
      {
        kind: 'order' as const,
        atS: 0,
        order,
        accepted: true,
        reason: { code: 'order.resume', numbers: { by: 'Ada' } },
      },
    ];
    const alarm = { ...Object.values(run.alarms)[0]!, active: false, acknowledged: false };
    const gone = { ...run, alarms: { ...run.alarms, [trip.id]: alarm } };
    expect(brokenRules(scanned({ before, run: gone, events })).join()).toContain('unacknowledged');
    const active = { ...run, alarms: { ...run.alarms, [trip.id]: { ...alarm, active: true, acknowledged: true } } };
    expect(brokenRules(scanned({ before, run: active, events })).join()).toContain('while active');
  });

  it('are broken by coolant taken away under heat', () => {
    expect(brokenRules(scanned({ commands: [command('coolant', 0)] })).join()).toContain('coolant taken away');
  });

  it('are broken by a reason without words, or without a number its words need', () => {
    const bare = command('coolant', 1, { reason: { code: 'no.such-code', numbers: {} } });
    expect(brokenRules(scanned({ commands: [bare] })).join()).toContain('no sentence for no.such-code in en');
    const lacks = command('coolant', 1, { reason: { code: 'drive.phase', numbers: {} } });
    expect(brokenRules(scanned({ commands: [lacks] })).join()).toContain('lacks phase');
  });
});
