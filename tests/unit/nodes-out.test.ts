import { describe, expect, it } from 'vitest';
import { checkStill } from '../../lib';
import type { Command } from '../../lib/engine/types';
import { english } from '../../lib/words';
import { type CommandRow, commandMessage, commandRowProblems } from '../../nodes/shared/messages-out';
import { good, potDocument } from '../tools/plants';

const still = good(checkStill(potDocument));
const edge = { saying: english, iso: (atS: number) => new Date(atS * 1000).toISOString(), watchOnly: false };
const command = (drive: string, value: number | string): Command => ({
  id: 'c7',
  drive,
  value,
  issuedAtS: 60,
  ttlS: 10,
  repeat: false,
  safe: false,
  reason: { code: 'drive.phase', numbers: { phase: 'hearts', state: 'running' } },
});
const payload = (value: number | string, row: Omit<CommandRow, 'drive'>) =>
  commandMessage(command('element', value), [{ drive: 'element', ...row }], edge).payload;

describe('commands to drives', () => {
  it('are shares under the name of the drive where nothing else is said, with id, time to live and reason', () => {
    expect(commandMessage(command('element', 0.6), [], edge)).toEqual({
      topic: 'element',
      payload: 0.6,
      drive: 'element',
      reason: 'hearts, running',
      command: {
        id: 'c7',
        value: 0.6,
        issuedAt: '1970-01-01T00:01:00.000Z',
        ttlS: 10,
        repeat: false,
        safe: false,
        reason: 'hearts, running',
      },
    });
  });

  it('are written as the device wants them', () => {
    expect(payload(0.625, { form: 'percent' })).toBe(62.5);
    expect(payload(1, { form: 'boolean' })).toBe(true);
    expect(payload(0, { form: 'boolean' })).toBe(false);
    expect(payload(1, { form: 'on-off' })).toBe('ON');
    expect(payload(0, { form: 'words', on: 'AUF', off: 'ZU' })).toBe('ZU');
    expect(payload(1, { form: 'words', on: 'AUF', off: 'ZU' })).toBe('AUF');
    expect(commandMessage(command('spout', 'hearts'), [{ drive: 'spout', form: 'percent' }], edge).payload).toBe(
      'hearts',
    );
    expect(commandMessage(command('element', 1), [{ drive: 'element', topic: 'cmnd/x/POWER' }], edge)).toMatchObject({
      topic: 'cmnd/x/POWER',
      drive: 'element',
    });
  });

  it('a table that names no drive, or would lose the share of a modulating one, is refused', () => {
    const problems = commandRowProblems(
      [{ drive: 'elment' }, { drive: 'element', form: 'on-off' }, { drive: 'coolant', form: 'on-off' }],
      still,
    );
    expect(problems).toHaveLength(2);
    expect(problems[0]).toMatch(/^commands.0.drive: "elment": is no drive of still "test-pot". Use one of element,/);
    expect(problems[1]).toMatch(/^commands.1.form: "on-off": a modulating heat would lose its share/);
  });
});
