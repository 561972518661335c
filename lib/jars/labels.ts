import { english, type Saying, showTemperature } from '../words';
import { readingAt, type SheetFigures } from './figures';

/** How labels are laid out on A4. */
export interface LabelStyle {
  readonly columns: number;
  readonly rows: number;
  /** Blank edge of the page [mm]. */
  readonly marginMm: number;
  /** Labels to print: the jars of the sheet, and blank ones up to this number. */
  readonly upToJar: number;
  readonly saying: Saying;
}

const usualStyle: LabelStyle = { columns: 3, rows: 7, marginMm: 8, upToJar: 0, saying: english };

const pageWidthMm = 210;
const pageHeightMm = 297;

/** Text made harmless in HTML, attributes included. */
export function escapeHtml(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;');
}

function styleSheet(style: LabelStyle): string {
  const labelWidthMm = (pageWidthMm - 2 * style.marginMm) / style.columns;
  const labelHeightMm = (pageHeightMm - 2 * style.marginMm) / style.rows;
  return `
@page { size: A4 portrait; margin: ${style.marginMm}mm; }
* { box-sizing: border-box; }
html, body { margin: 0; padding: 0; background: #fff; color: #000; }
body { font: 8.5pt/1.25 "Liberation Sans", Arial, Helvetica, sans-serif; }
.sheet { display: grid; grid-template-columns: repeat(${style.columns}, ${labelWidthMm.toFixed(2)}mm);
  grid-template-rows: repeat(${style.rows}, ${labelHeightMm.toFixed(2)}mm); break-after: page; break-inside: avoid; }
.sheet:last-child { break-after: auto; }
.jar { border: 0.2mm dashed #888; padding: 2mm 2.5mm; overflow: hidden; display: flex; flex-direction: column; }
.top { display: flex; justify-content: space-between; align-items: baseline; gap: 2mm; }
.number { font-size: 20pt; font-weight: 700; line-height: 1; }
.still { text-align: right; overflow: hidden; max-height: 2.5em; overflow-wrap: anywhere; }
.read { min-height: 2.5em; }
.line { flex: 1 1 0; min-height: 0; border-bottom: 0.2mm solid #000; display: flex; align-items: flex-end; color: #333; }
@media screen { body { background: #ddd; } .sheet { width: ${pageWidthMm - 2 * style.marginMm}mm; margin: 4mm auto; background: #fff; } }
`;
}

function clockOf(timeS: number): string {
  const minutes = Math.round(timeS / 60);
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
}

/** From what to what the vapour climbed while the jar filled, as read, and when; blanks to be filled in by hand where nothing is known yet. */
function readLine(figures: SheetFigures, jar: number, saying: Saying): string {
  const start = readingAt(figures.sheet, jar - 1);
  const end = jar <= figures.jars.length ? readingAt(figures.sheet, jar) : {};
  const blank = '………';
  const temp = (value: number | undefined) =>
    value === undefined ? `${blank} °${saying.temperature}` : showTemperature(value, saying);
  const time = (value: number | undefined) => (value === undefined ? blank : `${clockOf(value)} h`);
  const pressure = end.airPressureHPa ?? start.airPressureHPa;
  const air = pressure === undefined ? `${blank} hPa` : `${pressure.toFixed(0)} hPa`;
  return `vapour ${temp(start.vapourTempC)} to ${temp(end.vapourTempC)}<br>time ${time(start.timeS)} to ${time(end.timeS)} · air ${air}`;
}

function measuredLine(figures: SheetFigures, jar: number): string {
  const known = figures.jars[jar - 1];
  const volume = known?.volumeL == null ? '……… mL' : `${(known.volumeL * 1000).toFixed(0)} mL`;
  const strength =
    known?.strengthBy === 'measured' && known.strengthAbv !== null
      ? `${(known.strengthAbv * 100).toFixed(1)} % vol at 20 °C`
      : '……… % vol at ……… °C';
  return `${volume} · ${strength}`;
}

function label(figures: SheetFigures, jar: number, style: LabelStyle): string {
  const { sheet } = figures;
  return [
    '<article class="jar">',
    `<div class="top"><span class="number">${jar}</span><span class="still">${escapeHtml(sheet.still.name)}<br>${escapeHtml(sheet.name)}</span></div>`,
    `<div class="read">${readLine(figures, jar, style.saying)}<br>${measuredLine(figures, jar)}</div>`,
    '<div class="line">nose</div>',
    '<div class="line">palate</div>',
    '<div class="line">out&nbsp;☐&ensp;in&nbsp;☐&ensp;oak&nbsp;☐&ensp;unsure&nbsp;☐</div>',
    '</article>',
  ].join('');
}

/**
 * Labels for the jars of a development run, ready to print on A4: number, still, temperatures as read, time, and lines to write on. Jars not yet filled
 * get blank labels, so that a roll can be printed before the run.
 *
 * @param figures a sheet worked out
 * @param style grid, margin and language; three by seven unless given
 * @returns one HTML page without scripts or outside resources; every text of the sheet is escaped
 */
export function printLabels(figures: SheetFigures, style: Partial<LabelStyle> = {}): string {
  const chosen = { ...usualStyle, ...style };
  const count = Math.max(figures.jars.length, Math.min(200, chosen.upToJar), 1);
  const perPage = chosen.columns * chosen.rows;
  const pages = Array.from({ length: Math.ceil(count / perPage) }, (_, page) => {
    const first = page * perPage + 1;
    const labels = Array.from({ length: Math.min(perPage, count - page * perPage) }, (_one, index) =>
      label(figures, first + index, chosen),
    );
    return `<section class="sheet">${labels.join('')}</section>`;
  });
  const title = escapeHtml(`Jar labels: ${figures.sheet.name}`);
  return `<!doctype html>\n<html lang="${escapeHtml(chosen.saying.language.code)}">\n<head>\n<meta charset="utf-8">\n<title>${title}</title>\n<style>${styleSheet(chosen)}</style>\n</head>\n<body>\n${pages.join('\n')}\n</body>\n</html>\n`;
}
