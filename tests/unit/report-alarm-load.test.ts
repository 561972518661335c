import { describe, expect, it } from 'vitest';
import { alarmLoadOf } from '../../daemon/report/alarm-load';
import type { AlarmTold } from '../../daemon/report/telling';

const raised = (alarm: string, raisedAtS: number, more: Partial<AlarmTold> = {}): AlarmTold => ({
  alarm,
  priority: 'low',
  reason: { code: 'test', numbers: {} },
  raisedAtS,
  announced: true,
  returnedAtS: raisedAtS + 5,
  acknowledgedAtS: null,
  acknowledgedBy: null,
  clearedAtS: null,
  ...more,
});

// ISA-18.2 / IEC 62682, common targets: one in ten minutes, more than ten are a flood, three in a minute chatter, a day is standing.
describe('what the alarms of a run asked of the operator', () => {
  it('counts announced ones by ten minutes, wherever those begin, and silent ones apart', () => {
    const alarms = [raised('a', 0), raised('b', 590), raised('c', 1100), raised('d', 1150, { announced: false })];
    expect(alarmLoadOf(alarms, 0, 6000)).toMatchObject({
      announced: 3,
      silent: 1,
      mostInTenMinutes: 2,
      meanInTenMinutes: 0.3,
      isFlood: false,
    });
  });

  it('calls more than ten in ten minutes a flood, and ten none', () => {
    const many = (count: number) => Array.from({ length: count }, (_, index) => raised(`a${index}`, 50 * index));
    expect(alarmLoadOf(many(10), 0, 6000).isFlood).toBe(false);
    expect(alarmLoadOf(many(11), 0, 6000).isFlood).toBe(true);
  });

  it('names what chatters and what stands', () => {
    const day = 86_400;
    const alarms = [0, 20, 45].map((atS) => raised('chatty', atS));
    const stood = raised('old', 100, { returnedAtS: null });
    expect(alarmLoadOf([...alarms, stood], 0, 2 * day)).toMatchObject({ chattering: ['chatty'], standing: ['old'] });
    expect(alarmLoadOf([stood, raised('slow', 0), raised('slow', 61)], 0, day)).toMatchObject({
      chattering: [],
      standing: [],
    });
    expect(alarmLoadOf([], 0, 0)).toMatchObject({ announced: 0, mostInTenMinutes: 0, meanInTenMinutes: 0 });
  });
});
