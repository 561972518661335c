import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { english, hazards, hostAlarms, languages, sayGuidance, sayName, sayReason } from '../../lib';
import { allRunWords } from '../tools/run-words';

const en = languages.en!;
const others = Object.entries(languages).filter(([code]) => code !== 'en');
const fieldsOf = (sentence: string): string[] =>
  [...sentence.matchAll(/\{(\w+)\}/g)].map(([, field = '']) => field).sort();

describe('every language', () => {
  for (const [code, language] of others) {
    it(`${code} has the sentences English has, with the same numbers in each`, () => {
      expect(Object.keys(language.sentences).sort()).toEqual(Object.keys(en.sentences).sort());
      for (const [key, sentence] of Object.entries(en.sentences)) {
        expect(fieldsOf(language.sentences[key] ?? ''), key).toEqual(fieldsOf(sentence));
      }
    });

    it(`${code} says every fixed word of a run its own way`, () => {
      for (const word of [...allRunWords, ...Object.keys(en.names)]) {
        expect(language.names[word], word).toBeDefined();
      }
    });

    it(`${code} has the guidance English has`, () => {
      expect(Object.keys(language.guidance).sort()).toEqual(Object.keys(en.guidance).sort());
    });
  }

  for (const [code, language] of Object.entries(languages)) {
    it(`${code} names every hazard and what stands beside this program against it`, () => {
      expect(Object.keys(language.hazards).sort()).toEqual([...hazards].sort());
    });

    it(`${code} words the alarms a host raises about itself`, () => {
      for (const id of Object.keys(hostAlarms)) {
        expect(language.names[id]).toBeDefined();
        expect(language.sentences[`alarm.${id}`]).toBeDefined();
        expect(sayGuidance(id, { language, temperature: 'C' })).not.toBeNull();
      }
    });
  }
});

describe('every reason in the engine', () => {
  it('has a sentence: all codes written out in lib', () => {
    const files = (folder: string): string[] =>
      readdirSync(folder, { withFileTypes: true }).flatMap((entry) =>
        entry.isDirectory()
          ? files(join(folder, entry.name))
          : entry.name.endsWith('.ts')
            ? [join(folder, entry.name)]
            : [],
      );
    const lib = join(__dirname, '../../lib');
    const folders = ['engine', 'alarms', 'cuts', 'still'].flatMap((folder) => files(join(lib, folder)));
    const codes = folders.flatMap((file) =>
      [...readFileSync(file, 'utf8').matchAll(/code: '([a-z]+\.[a-z.-]+)'/g)].map(([, code = '']) => code),
    );
    expect(codes.length).toBeGreaterThan(30);
    for (const code of codes) expect(en.sentences[code], code).toBeDefined();
  });
});

describe('words', () => {
  it('an alarm of a point is named with its point, a point of any name stays as it is', () => {
    expect(sayName('probe-lost:vapour', english)).toBe('probe lost (vapour)');
    const reason = { code: 'alarm.probe-lost', numbers: { point: 'heat', fault: 'stale' } };
    expect(sayReason(reason, english)).toBe('probe heat lost: no fresh reading');
  });

  it('numbers are written as the language writes them', () => {
    const reason = { code: 'alarm.product-hot', numbers: { tempC: 41.26, limitC: 40 } };
    expect(sayReason(reason, { language: languages.de!, temperature: 'C' })).toBe('Destillat 41,3 °C, Grenze 40,0 °C');
    expect(sayReason(reason, { language: languages.fr!, temperature: 'F' })).toBe(
      'distillat 106,3 °F, limite 104,0 °F',
    );
  });

  it('guidance is found by the alarm, with or without its point, and for nothing else', () => {
    expect(sayGuidance('vapour-leak:gas-by-the-door', english)?.now).toContain('Everybody out');
    expect(sayGuidance('constructor', english)).toBeNull();
  });
});
