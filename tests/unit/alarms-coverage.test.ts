import { describe, expect, it } from 'vitest';
import {
  checkStill,
  coverageOf,
  english,
  type Hazard,
  type HazardCover,
  hazards,
  languages,
  type StillDocument,
  sayReason,
} from '../../lib';
import { good } from '../tools/plants';
import { storyStills } from '../tools/story-still';

const full = storyStills.pot[0] as StillDocument;
const bare = storyStills['bare-pot'][0] as StillDocument;

function cover(document: StillDocument, hazard: Hazard): HazardCover {
  const found = coverageOf(good(checkStill(document))).find((one) => one.hazard === hazard);
  if (found === undefined) throw new Error(`no ${hazard}`);
  return found;
}

function without(document: StillDocument, ...points: string[]): StillDocument {
  return {
    ...document,
    points: Object.fromEntries(Object.entries(document.points).filter(([id]) => !points.includes(id))),
  };
}

const texts = (one: HazardCover) => one.notes.map((reason) => sayReason(reason, english));

describe('coverage of a still', () => {
  it('has every hazard once, in order', () => {
    expect(coverageOf(good(checkStill(full))).map((one) => one.hazard)).toEqual(hazards);
  });

  it('a still with everything fitted has nothing uncovered', () => {
    const found = coverageOf(good(checkStill(full))).filter((one) => one.cover === 'not');
    expect(found.map((one) => one.hazard)).toEqual([]);
  });

  it('a bare element is seen in time by its skin alone', () => {
    const seen = cover(full, 'bare-element');
    expect(seen.cover).toBe('seen');
    expect(seen.detectors[0]).toMatchObject({
      alarm: 'element-over-temperature',
      points: ['element-temp'],
      does: 'heat-off',
    });
    expect(seen.notes).toEqual([]);
  });

  it('without a probe on the skin it is late, and that is said with the numbers', () => {
    const late = cover(without(full, 'element-temp'), 'bare-element');
    expect(late.cover).toBe('late');
    expect(texts(late).join()).toContain('gains about 5.00 K a second and is at 150.0 °C in 9 s');
    expect(texts(late).join()).toContain('only a wired cut-out');
    expect(late.missing.some((one) => one.kinds.includes('element-temp'))).toBe(true);
  });

  it('with a vapour probe alone it is still only late', () => {
    const poor = cover(without(bare, 'boiler-temp'), 'bare-element');
    expect(poor.cover).toBe('late');
  });

  it('a still without any probe sees no bare element at all', () => {
    const blind = cover({ ...bare, points: { 'air-pressure': { kind: 'air-pressure' } } }, 'bare-element');
    expect(blind.detectors.filter((one) => one.does === 'heat-off')).toEqual([]);
    expect(texts(blind).join()).toContain('nothing here sees a bare element');
  });

  it.each([
    [
      'coolant-lost',
      [
        'coolant-flow',
        'product-temp',
        'coolant-state',
        'collected-volume',
        'heads-volume',
        'hearts-volume',
        'feints-volume',
      ],
    ],
    ['vacuum', ['boiler-pressure']],
  ] as const)('%s goes uncovered without its points', (hazard, points) => {
    expect(cover(full, hazard).cover).not.toBe('not');
    const poorer = without(full, ...points);
    const drives = Object.fromEntries(
      Object.entries(poorer.drives ?? {}).map(([id, drive]) => {
        const { reported, ...rest } = drive;
        return [id, reported !== undefined && points.includes(reported as never) ? rest : drive];
      }),
    ) as StillDocument['drives'];
    const { drives: _, ...others } = poorer;
    expect(cover({ ...others, ...(drives === undefined ? {} : { drives }) }, hazard).cover).toBe('not');
  });

  it('a leak is seen late without a gas detector: when the vapour fails, or nothing comes any more', () => {
    expect(cover(full, 'vapour-leak').cover).toBe('seen');
    expect(cover(without(full, 'vapour-gas'), 'vapour-leak').cover).toBe('late');
  });

  it('a lost link is covered by nothing but the device that switches itself off', () => {
    expect(cover(full, 'link-lost').cover).toBe('seen');
    const stays: StillDocument = { ...full, drives: { ...full.drives, heat: { kind: 'heat', ratedW: 5000 } } };
    expect(cover(stays, 'link-lost').cover).toBe('not');
    expect(texts(cover(stays, 'link-lost'))).toEqual([
      'heat does not switch itself off: if this computer or the link dies, the heat stays on',
    ]);
  });

  it('a power cut is covered by fail positions', () => {
    expect(cover(full, 'power-cut').cover).toBe('seen');
    const stops: StillDocument = {
      ...full,
      drives: { ...full.drives, coolant: { kind: 'coolant', failPosition: 'off' } },
    };
    expect(cover(stops, 'power-cut').cover).toBe('not');
    expect(texts(cover(stops, 'power-cut')).join()).toContain('stops without power');
  });

  it('heat that does not stop is seen late where nothing measures it', () => {
    expect(cover(full, 'heat-not-stopping').cover).toBe('seen');
    const blind = cover(bare, 'heat-not-stopping');
    expect(blind.cover).toBe('late');
    expect(blind.detectors[0]?.withinS).toBeGreaterThan(300);
    expect(texts(blind)).toEqual([
      expect.stringMatching(/a point of kind heat-power tells it within seconds/),
      'no second contactor: heat that will not stop must be switched off by hand',
    ]);
  });

  it('liquid carried over may stay unseen in a pot without a parrot', () => {
    const parrots = Object.entries(full.points).flatMap(([id, { kind }]) => (kind === 'parrot-strength' ? [id] : []));
    expect(parrots.length).toBeGreaterThan(0);
    expect(cover(full, 'puking')).toMatchObject({ cover: 'seen', notes: [] });
    const hidden = cover(without(full, ...parrots), 'puking');
    expect(hidden.cover).toBe('late');
    expect(texts(hidden)).toEqual([expect.stringMatching(/hardly warms the head of a pot/)]);
  });

  it('nobody there is covered only where attendance was agreed, in the time agreed', () => {
    expect(cover(full, 'nobody-there').detectors.find((one) => one.alarm === 'nobody-there')?.withinS).toBe(1200);
    expect(cover(bare, 'nobody-there').cover).toBe('not');
  });

  it('every note has words in every language, with all its numbers', () => {
    for (const [document] of Object.values(storyStills)) {
      for (const one of coverageOf(good(checkStill(document as StillDocument)))) {
        for (const language of Object.values(languages)) {
          expect(language.hazards[one.hazard]?.name).toBeDefined();
          for (const reason of one.notes) {
            expect(language.sentences[reason.code], reason.code).toBeDefined();
            expect(sayReason(reason, { language, temperature: 'C' })).not.toContain('?');
          }
        }
      }
    }
  });
});
