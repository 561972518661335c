import { describe, expect, it } from 'vitest';
import { checkSheet, printLabels, type SheetDocument, workOut } from '../../lib/jars';
import { english } from '../../lib/words';
import { inventSheet } from './jars-sheet';

function labels(document: SheetDocument, style = {}): string {
  const checked = checkSheet(document);
  if (checked.kind === 'bad') throw new Error(JSON.stringify(checked.problems));
  return printLabels(workOut(checked.value), style);
}

const count = (html: string, what: string) => html.split(what).length - 1;

describe('jar labels', () => {
  it('are one a jar, three by seven on A4, a page after another', () => {
    const html = labels(inventSheet());
    expect(count(html, '<article class="jar">')).toBe(22);
    expect(count(html, '<section class="sheet">')).toBe(2);
    expect(html).toContain('@page { size: A4 portrait; margin: 8mm; }');
    expect(html).toContain('grid-template-columns: repeat(3, 64.67mm)');
    expect(html).toContain('grid-template-rows: repeat(7, 40.14mm)');
  });

  it('carry number, still, temperatures as read, time and air pressure', () => {
    const html = labels(inventSheet({ pressureHPa: 964, rounded: true }));
    const fifth = html.split('<article')[5]!;
    expect(fifth).toContain('<span class="number">5</span>');
    expect(fifth).toContain('The orchard still');
    expect(fifth).toMatch(/vapour 82\.0 °C to 82\.1 °C<br>time 1:04 h to 1:14 h · air 964 hPa/);
    expect(fifth).toMatch(/46\d mL · 80\.\d % vol at 20 °C/);
  });

  it('speak °F to those who want it', () => {
    const html = labels(inventSheet({ pressureHPa: 964, rounded: true }), { saying: { ...english, temperature: 'F' } });
    expect(html.split('<article')[5]).toContain('vapour 179.6 °F to 179.8 °F');
  });

  it('are blank for jars not yet filled', () => {
    const html = labels({ ...inventSheet(), jars: [] }, { upToJar: 24 });
    expect(count(html, '<article class="jar">')).toBe(24);
    expect(html).toContain('vapour ……… °C to ……… °C');
    expect(html).toContain('……… % vol at ……… °C');
  });

  it('cannot be made to carry markup or a script', () => {
    const evil = `<script>alert(1)</script>"'&`;
    const html = labels(inventSheet({ over: { name: evil, still: { name: `${evil}</style>` } } }));
    expect(html).not.toContain('<script');
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;&quot;&#39;&amp;');
    expect(count(html, '</style>')).toBe(1);
  });

  it('need nothing from outside', () => {
    expect(labels(inventSheet())).not.toMatch(/https?:|src=|url\(|@import|<link/);
  });
});
