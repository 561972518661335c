import { describe, expect, it } from 'vitest';
import { alarmRules, checkStill, type Event, freshRun, languages, type Saying, watchPlant } from '../../lib';
import { alarmMessage, eventMessage, stateMessage } from '../../lib/wire/said';
import { good, potDocument } from '../tools/plants';

const plant = watchPlant(good(checkStill(potDocument)));
const run = freshRun(0);
const at = '2026-11-25T09:00:00.000Z';
const raised = (alarm: string): Extract<Event, { kind: 'alarm' }> => ({
  kind: 'alarm',
  atS: 12,
  alarm,
  priority: 'high',
  transition: 'raised',
  reason: { code: 'quality.stale', numbers: { point: 'vapour' } },
});

describe('what is said on our topics and by the nodes', () => {
  for (const language of Object.values(languages)) {
    const saying: Saying = { language, temperature: 'C' };

    it(`every alarm says what it means and what to do now (${language.code})`, () => {
      for (const { id } of Object.values(alarmRules)) {
        const said = alarmMessage(run, raised(`${id}:vapour`), at, saying);
        for (const text of [said.what, said.doNow]) {
          expect(text.length, id).toBeGreaterThan(10);
          expect(text, id).not.toMatch(/guidance\.|\{|\?\?/);
        }
      }
    });

    it(`an event keeps its figures, and time and reason are worded by the host (${language.code})`, () => {
      const said = eventMessage(raised('probe-lost:vapour'), at, saying);
      expect(said).toMatchObject({ kind: 'alarm', alarm: 'probe-lost:vapour', at, reason: { code: 'quality.stale' } });
      expect(said).not.toHaveProperty('atS');
      expect(said.reason.text).toContain('vapour');
    });
  }

  it('the state of a still at rest is there in full, with what is not known as null', () => {
    const said = stateMessage(plant, run, { since: at, runId: null }, { language: languages.en!, temperature: 'C' });
    expect(said).toMatchObject({
      state: 'idle',
      phase: 'idle',
      since: at,
      run: null,
      vapourTempC: null,
      vapourTempAtReferenceC: null,
      next: null,
    });
  });
});
