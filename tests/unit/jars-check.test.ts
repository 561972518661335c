import { describe, expect, it } from 'vitest';
import { checkSheet, type SheetDocument } from '../../lib/jars';
import { inventSheet } from './jars-sheet';

const pathsOf = (document: unknown) => {
  const checked = checkSheet(document);
  return checked.kind === 'bad' ? checked.problems.map((one) => one.path) : [];
};

describe('a jar sheet', () => {
  it('is read with its defaults', () => {
    const checked = checkSheet(inventSheet());
    expect(checked.kind).toBe('ok');
    if (checked.kind === 'bad') return;
    expect(checked.value.probe).toEqual({ resolutionK: 0.1, accuracyK: 0.2, offsetK: 0, gain: 1, boilerOffsetK: 0 });
    expect(checked.value.strength).toEqual({ reading: 'as-read', basis: '20C' });
    expect(checked.value.foreshotsJars).toBe(1);
  });

  it('may be unfinished: a jar without end, volume or verdict is no fault', () => {
    const jars = [{ number: 1, start: { vapourTempC: 81.2 } }];
    expect(checkSheet({ ...inventSheet(), jars }).kind).toBe('ok');
    expect(checkSheet({ ...inventSheet(), jars: [] }).kind).toBe('ok');
  });

  it('lists every problem at once, each with path and remedy', () => {
    const document = {
      ...inventSheet(),
      colour: 'blue',
      charge: { volumeL: -1, strengthVolPercent: 30 },
      jars: [{ number: 1, volumeL: 0, tastings: [{ taster: 'Ann', intensity: 7 }] }],
    };
    const checked = checkSheet(document);
    expect(checked.kind).toBe('bad');
    if (checked.kind === 'ok') return;
    expect(checked.problems.map((one) => one.path).sort()).toEqual([
      '',
      'charge.volumeL',
      'jars.0.tastings.0.intensity',
      'jars.0.volumeL',
    ]);
    for (const one of checked.problems) expect(one.remedy).not.toBe('');
  });

  it('numbers its jars one after the other', () => {
    const numbered = (...numbers: number[]) => ({ ...inventSheet(), jars: numbers.map((number) => ({ number })) });
    expect(pathsOf(numbered(1, 2, 3))).toEqual([]);
    expect(pathsOf(numbered(1, 3))).toEqual(['jars.1.number']);
    expect(pathsOf(numbered(1, 2, 2))).toEqual(['jars.2.number']);
    expect(pathsOf(numbered(2, 1))).toEqual(['jars.0.number', 'jars.1.number']);
  });

  it('keeps one entry a taster and jar', () => {
    const twice: SheetDocument = {
      ...inventSheet(),
      jars: [{ number: 1, tastings: [{ taster: 'Ann' }, { taster: 'Ben' }, { taster: 'Ann' }] }],
    };
    expect(pathsOf(twice)).toEqual(['jars.0.tastings.2.taster']);
  });

  it('wants the altitude for a pressure reduced to sea level', () => {
    expect(pathsOf({ ...inventSheet(), airPressure: { basis: 'sea-level' } })).toEqual(['airPressure.altitudeM']);
    expect(pathsOf({ ...inventSheet(), airPressure: { basis: 'sea-level', altitudeM: 420 } })).toEqual([]);
  });
});
