import { describe, expect, it } from 'vitest';
import { alarmRules, languages, ruleOfAlarm } from '../../lib';
import { hazards } from '../../lib/alarms/rule';
import { pointKinds } from '../../lib/still/schema';
import { Story, until } from '../tools/story';
import { play } from '../tools/story-lines';

describe('every alarm', () => {
  it('has a name of its own', () => {
    expect(new Set(alarmRules.map((rule) => rule.id)).size).toBe(alarmRules.length);
    for (const rule of alarmRules) expect(ruleOfAlarm(`${rule.id}:some-point`)).toBe(rule);
  });

  for (const rule of alarmRules) {
    describe(rule.id, () => {
      it('fires, and clears, on its own example', () => {
        const { from, still = 'pot', fires, withinS, clears, clearsWithinS } = rule.example;
        const story = new Story(still, from);
        const active = () => story.alarmsNamed(rule.id).some((id) => story.alarm(id).active);
        expect(active(), 'before anything happens').toBe(false);
        for (const line of fires) play(story, line);
        expect(until(story, withinS, active), `${fires.join('; ')} did not fire it`).not.toBeNull();
        if (rule.interlock === 'heat-off') {
          expect(story.run.trips.map((trip) => trip.id.split(':')[0])).toContain(rule.id);
        }
        for (const line of clears) play(story, line);
        expect(
          until(story, clearsWithinS, () => !active()),
          `${clears.join('; ')} did not clear it`,
        ).not.toBeNull();
        expect(story.broken).toEqual([]);
      });

      it('is never suppressed by phase where it takes the heat off', () => {
        if (rule.interlock === 'heat-off') expect(rule.suppressedIn).toEqual([]);
      });

      it('latches where it takes the heat off', () => {
        if (rule.interlock === 'heat-off') expect(rule.latched).toBe(true);
      });

      it('has delays, a deadband and a time to detect that are numbers', () => {
        for (const value of [rule.onDelayS, rule.offDelayS, rule.deadband, rule.detectS]) {
          expect(Number.isFinite(value) && value >= 0).toBe(true);
        }
      });

      it('sees hazards and point kinds that exist', () => {
        expect(rule.hazards.length).toBeGreaterThan(0);
        for (const hazard of rule.hazards) expect(hazards).toContain(hazard);
        for (const kind of rule.sees) expect(Object.keys(pointKinds)).toContain(kind);
      });

      it('is silenced only by alarms that exist', () => {
        for (const other of rule.suppressedBy ?? []) expect(ruleOfAlarm(other)).not.toBeNull();
      });

      for (const [code, language] of Object.entries(languages)) {
        it(`says what it means and what to do now (${code})`, () => {
          expect(language.names[rule.id]).toBeDefined();
          expect(language.guidance[rule.id]?.means.length).toBeGreaterThan(20);
          expect(language.guidance[rule.id]?.now.length).toBeGreaterThan(8);
        });
      }
    });
  }

  it('wakes people for few things only, and for all of those that hurt', () => {
    const waking = alarmRules.filter((rule) => rule.wakes).map((rule) => rule.id);
    expect(waking.length).toBeLessThanOrEqual(11);
    for (const id of [
      'vapour-leak',
      'heat-not-stopping',
      'coolant-flow-lost',
      'boiler-over-pressure',
      'receiver-overflow',
    ]) {
      expect(waking).toContain(id);
    }
    for (const rule of alarmRules) if (rule.wakes) expect(rule.priority).toBe('critical');
  });

  it('covers every hazard but those that only hardware covers', () => {
    const seen = new Set(alarmRules.flatMap((rule) => rule.hazards));
    for (const hazard of hazards) expect(seen.has(hazard), hazard).toBe(true);
  });
});
