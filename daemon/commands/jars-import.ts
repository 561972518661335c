import { type Sheet, type SheetFigures, workOut } from '../../lib/jars';
import { type Checked, type Problem, problem } from '../../lib/problems';
import type { Sheets } from '../page';
import { createSheets } from '../page';
import type { Change, SheetPart } from '../page/source';
import type { Journal } from '../store';
import { fail, flagOf, type Io, misunderstood, readOptions, textOf } from './command';
import { checkedOf, sheetOf, sheetOptions, withRecord } from './jars-sheet';
import { whoOf } from './record-options';

const spec = { data: sheetOptions.data, 'by-whom': { type: 'string' } } as const;

/** Puts a sheet of a run made by hand into the record: from then on it is kept, derived from and compared with as a run's own. */
export function importSheet(args: readonly string[], io: Io): number {
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const [file, second] = options.positionals;
  if (file === undefined || second !== undefined) return misunderstood(io, 'jars', 'name one sheet to import.');
  const sheet = sheetOf(options, file);
  if (sheet.kind === 'bad') return fail(io, sheet.problems, json);
  const misfits = misfitsOf(sheet.value);
  if (misfits.length > 0) return fail(io, misfits, json);
  const by = textOf(options, 'by-whom') ?? whoOf(options, io);
  const made = withRecord(options, false, (journal) => bringIn(journal, sheet.value, by));
  if (made.kind === 'bad') return fail(io, made.problems, json);
  const jars = sheet.value.jars.length;
  if (json) io.out(`${JSON.stringify({ sheet: made.value, jars, by }, null, 2)}\n`);
  else io.out(`${jars} jars are in the record as ${made.value}: derive with --sheet, compare by its name.\n`);
  return 0;
}

/** What a sheet in the record has no place for. */
function misfitsOf(sheet: Sheet): readonly Problem[] {
  if (sheet.beforeJarsL === 0) return [];
  const remedy = 'Make the foreshots taken before it jar 1, and set the number of foreshots jars';
  return [problem('beforeJarsL', sheet.beforeJarsL, 'has no jar, and so no place in the record', remedy)];
}

function bringIn(journal: Journal, sheet: Sheet, by: string): Checked<string> {
  const sheets = createSheets(journal, () => crypto.getRandomValues(new Uint32Array(1))[0] ?? 1);
  const figures = workOut(sheet);
  const made = checkedOf('sheet', sheet.name, sheets.create(aboutOf(sheet, figures), by));
  if (made.kind === 'bad') return made;
  for (const [part, change] of partsOf(sheet, figures)) {
    const saved = checkedOf('sheet', made.value, save(sheets, made.value, part, change, by));
    if (saved.kind === 'bad') return saved;
  }
  return made;
}

function save(sheets: Sheets, id: string, part: SheetPart, change: Change, by: string) {
  return sheets.save(id, part, { change, from: 0, by });
}

type Fields = Readonly<Record<string, unknown>>;

const known = (fields: Fields): Change =>
  Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined && value !== null));

function aboutOf(sheet: Sheet, figures: SheetFigures): Change {
  return known({
    name: sheet.name,
    startedAt: sheet.startedAt,
    stillId: sheet.still.id,
    stillName: sheet.still.name,
    stillKind: sheet.still.kind,
    holdUpL: sheet.still.holdUpL,
    referenceHPa: figures.referenceHPa,
    altitudeM: sheet.airPressure.altitudeM,
    resolutionK: sheet.probe.resolutionK,
    accuracyK: sheet.probe.accuracyK,
    chargeL: sheet.charge.volumeL,
    chargeVolPercent: sheet.charge.strengthVolPercent,
    chargeWhat: sheet.charge.what,
    heaterW: sheet.heaterW,
    // A record keeps one basis: what was read at 60 °F is written down as true strength at 20 °C.
    strengthReading: sheet.strength.basis === '20C' ? sheet.strength.reading : 'true',
    foreshotsJars: sheet.foreshotsJars,
  });
}

/** Readings as the record keeps them: by the probe's calibration, at the pressure of the station. */
function readingOf(sheet: Sheet, figures: SheetFigures, index: number): Change {
  const here = figures.changeovers[index];
  const read = { ...sheet.jars[index]?.start, ...sheet.jars[index - 1]?.end };
  return known({
    vapourTempC: here?.vapourC,
    boilerTempC: read.boilerTempC === undefined ? undefined : read.boilerTempC + sheet.probe.boilerOffsetK,
    airPressureHPa: here?.stationHPa,
    timeS: here?.timeS,
  });
}

function* partsOf(sheet: Sheet, figures: SheetFigures): Generator<readonly [SheetPart, Change]> {
  const isConverted = sheet.strength.basis !== '20C';
  for (const [index, jar] of sheet.jars.entries()) {
    const { strengthAbv, strengthBy } = figures.jars[index] ?? { strengthAbv: null, strengthBy: 'none' };
    const isTold = isConverted && strengthBy === 'measured' && strengthAbv !== null;
    const start = index === 0 ? readingOf(sheet, figures, 0) : {};
    const change = known({
      ...readingOf(sheet, figures, index + 1),
      ...(Object.keys(start).length === 0 ? {} : { start }),
      volumeL: jar.volumeL,
      strengthVolPercent: isTold ? Number((100 * strengthAbv).toFixed(3)) : jar.strengthVolPercent,
      sampleTempC: jar.sampleTempC,
      note: jar.note,
      verdict: jar.verdict,
    });
    yield [{ kind: 'jar', jar: jar.number }, change];
    for (const { taster, hiddenNumber: _, ...tasting } of jar.tastings) {
      yield [{ kind: 'tasting', jar: jar.number, taster }, known(tasting)];
    }
  }
}
