import { describe, expect, it } from 'vitest';
import { checkSheet, commaStyle, plainStyle, readCsv, type Sheet, writeCsv } from '../../lib/jars';
import { inventSheet } from './jars-sheet';

function read(text: string): Sheet {
  const result = readCsv(text);
  if (result.kind === 'bad') throw new Error(result.problems.map((one) => `${one.path}: ${one.message}`).join('\n'));
  return result.value;
}

function problemsOf(text: string): string[] {
  const result = readCsv(text);
  return result.kind === 'ok' ? [] : result.problems.map((one) => `${one.path}: ${one.message}`);
}

const charge = '#charge [L],50\n#charge strength [% vol],30\n';

describe('a jar sheet in CSV', () => {
  it('is read as typed from labels: comma and point', () => {
    const sheet = read(
      `${charge}#still,Orchard pot\njar,vapour [°C],air pressure [hPa],volume [mL],strength [%],sample temperature [°C],verdict\n1,81.4,1004,250,82.5,18,out\n2,81.9,1004,500,81,18,in\n`,
    );
    expect(sheet.still.name).toBe('Orchard pot');
    expect(sheet.jars[1]).toMatchObject({
      number: 2,
      end: { vapourTempC: 81.9, airPressureHPa: 1004 },
      volumeL: 0.5,
      strengthVolPercent: 81,
      sampleTempC: 18,
      verdict: 'in',
    });
  });

  it('is read with semicolon, decimal comma, byte-order mark and CRLF', () => {
    const text =
      '\uFEFF#charge [L];50,5\r\n#charge strength [% vol];30\r\njar;vapour [°C];volume [L];note\r\n1;81,4;0,25;"klar; scharf"\r\n';
    const sheet = read(text);
    expect(sheet.charge.volumeL).toBe(50.5);
    expect(sheet.jars[0]).toMatchObject({ end: { vapourTempC: 81.4 }, volumeL: 0.25, note: 'klar; scharf' });
  });

  it('takes °F, mmHg, US gallons, °F differences and proof by the unit in the name', () => {
    const sheet = read(
      '#charge [gal],13\n#charge strength [proof],60\n#probe accuracy [°F],0.36\njar,vapour [°F],air pressure [mmHg],volume [mL],strength [proof]\n1,180,760,250,160\n',
    );
    expect(sheet.charge.volumeL).toBeCloseTo(13 * 3.785411784, 9);
    // 60 proof is 30 % by volume at 60 °F; at 20 °C the two bases differ by less than 0.1 % vol.
    expect(Math.abs(sheet.charge.strengthVolPercent - 30)).toBeLessThan(0.1);
    expect(sheet.charge.strengthVolPercent).not.toBe(30);
    expect(sheet.probe.accuracyK).toBeCloseTo(0.2, 12);
    expect(sheet.jars[0]!.end?.vapourTempC).toBeCloseTo(82.2222222, 6);
    expect(sheet.jars[0]!.end?.airPressureHPa).toBeCloseTo(1013.25, 3);
    expect(sheet.strength.basis).toBe('60F');
    expect(sheet.jars[0]!.strengthVolPercent).toBe(80);
  });

  it('takes minutes, and times of day past midnight', () => {
    const minutes = read(`${charge}jar,start time [min],time [min]\n1,30,42.5\n`);
    expect(minutes.jars[0]).toMatchObject({ start: { timeS: 1800 }, end: { timeS: 2550 } });
    const clock = read(`${charge}jar,start time [h:mm],time [h:mm]\n1,23:40,23:55\n2,,0:10\n3,,00:25:30\n`);
    expect(clock.jars.map((jar) => jar.end?.timeS)).toEqual([900, 1800, 2730]);
    expect(clock.jars[0]!.start?.timeS).toBe(0);
  });

  it('keeps notes of several tasters apart', () => {
    const sheet = read(
      `${charge}jar,nose (Ann),descriptors (Ann),verdict (Ann),intensity (Ann),verdict (Ben (guest))\n1,thin,pear | floral,in for oak,2,?\n2,,,out,,\n`,
    );
    expect(sheet.jars[0]!.tastings).toEqual([
      { taster: 'Ann', nose: 'thin', descriptors: ['pear', 'floral'], verdict: 'in-for-oak', intensity: 2 },
      { taster: 'Ben (guest)', descriptors: [], verdict: 'unsure' },
    ]);
    expect(sheet.jars[1]!.tastings.map((one) => one.taster)).toEqual(['Ann']);
  });

  it('names line and column of everything that is wrong, all at once', () => {
    const text = `${charge}#colour,blue\njar,vapour [°C],volume [kg],taste,strength\n1,warm,3,,\n2,81;4,,,\n3,950,,,\n`;
    expect(problemsOf(text)).toEqual([
      'line 3, #colour: is no row of the header',
      'line 4, volume [kg]: cannot be in kg',
      'line 4, taste: is no column of a jar sheet',
      'line 4, strength: has no unit',
      'line 5, vapour [°C]: is not a number',
      'line 6, vapour [°C]: is not a number',
      'line 7, end vapour: is more than 120',
    ]);
  });

  it('does not guess between decimal point and comma', () => {
    expect(problemsOf(`${charge.replaceAll(',', ';')}jar;vapour [°C]\n1;81,4\n2;81.9\n`)).toEqual([
      'line 5, vapour [°C]: mixes decimal point and comma: line 4 has ","',
    ]);
    expect(problemsOf(`${charge}jar,volume [mL]\n1,"1,250.5"\n`)).toEqual(['line 4, volume [mL]: is not a number']);
  });

  it('says where a decimal comma has made one cell into two', () => {
    expect(problemsOf(`${charge}jar,vapour [°C],volume [L]\n1,81,4,0,25\n`)).toEqual([
      'line 4, row: has more cells than the 3 columns',
    ]);
  });

  it('counts lines inside quoted notes', () => {
    const text = `${charge}jar,note,vapour [°C]\n1,"two\nlines",81\n2,,x\n`;
    expect(problemsOf(text)).toEqual(['line 6, vapour [°C]: is not a number']);
    expect(problemsOf(`${charge}jar,note\n1,"never closed\n`)).toEqual(['line 4: opens a quote that is never closed']);
    expect(problemsOf(`${charge}jar,note\n1,"a"b\n`)).toEqual(['line 4: has text behind a closing quote']);
  });

  it('asks for the charge where nobody has given it', () => {
    expect(problemsOf('jar,vapour [°C]\n1,81\n')).toEqual(['header, charge: is missing']);
    const given = readCsv('jar,vapour [°C]\n1,81\n', { charge: { volumeL: 50, strengthVolPercent: 30 } });
    expect(given.kind).toBe('ok');
  });

  it('refuses an empty file and one without names', () => {
    expect(problemsOf('').length).toBeGreaterThan(0);
    expect(problemsOf(charge)).toContain('line 1, file: has no row of column names');
  });

  it('says that proof and a 20 °C basis contradict', () => {
    expect(problemsOf(`${charge}#strength basis,20C\njar,strength [proof]\n1,160\n`)).toEqual([
      'line 1, strength [proof]: is on the 60 °F basis, but the header says 20C',
    ]);
  });

  it.each([plainStyle, commaStyle, { ...plainStyle, separator: '\t' as const }])(
    'is written and read back the same: %j',
    (style) => {
      const checked = checkSheet(inventSheet({ over: { name: '=sum(A1), "quoted"', startedAt: '2026-10-03T08:10' } }));
      if (checked.kind === 'bad') throw new Error('bad sheet');
      expect(read(writeCsv(checked.value, style))).toEqual(checked.value);
    },
  );

  it('is written in °F for those who want it', () => {
    const checked = checkSheet(inventSheet());
    if (checked.kind === 'bad') throw new Error('bad sheet');
    const text = writeCsv(checked.value, { ...plainStyle, temperature: 'F' });
    expect(text).toContain('end vapour [°F]');
    const back = read(text);
    expect(back.jars[3]!.end!.vapourTempC).toBeCloseTo(checked.value.jars[3]!.end!.vapourTempC!, 9);
    expect(back.probe.accuracyK).toBeCloseTo(0.2, 12);
  });

  it('never lets a note become a formula in a spreadsheet', () => {
    const checked = checkSheet({
      ...inventSheet(),
      jars: [
        { number: 1, note: '=HYPERLINK("x")' },
        { number: 2, note: '-1' },
      ],
    });
    if (checked.kind === 'bad') throw new Error('bad sheet');
    const text = writeCsv(checked.value);
    expect(text).toContain(`"'=HYPERLINK(""x"")"`);
    expect(text).toContain("2,'-1");
    expect(read(text)).toEqual(checked.value);
  });
});
