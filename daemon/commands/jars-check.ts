import { type JarFigures, type Sheet, type SheetFigures, workOut } from '../../lib/jars';
import { showProblem } from '../../lib/problems';
import { english, sayName } from '../../lib/words';
import { fail, flagOf, type Io, misunderstood, readOptions } from './command';
import { sheetOf, sheetOptions } from './jars-sheet';
import { clock, table } from './table';

/** Reads a sheet, works it out and prints it jar by jar, with what is missing. */
export function check(args: readonly string[], io: Io): number {
  const read = readOptions(args, sheetOptions);
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const sheet = sheetOf(options, options.positionals[0]);
  if (sheet.kind === 'bad') return fail(io, sheet.problems, json);
  const figures = workOut(sheet.value);
  const missing = missingOn(figures);
  if (json) {
    const { jars, changeovers, chargeAlcoholL } = figures;
    io.out(`${JSON.stringify({ sheet: sheet.value, chargeAlcoholL, jars, changeovers, missing }, null, 2)}\n`);
  } else io.out(show(sheet.value, figures, missing));
  return 0;
}

const orDash = (value: number | null, places: number): string => (value === null ? '–' : value.toFixed(places));

export function jarRows(figures: SheetFigures): readonly (readonly string[])[] {
  return figures.jars.map((jar, index) => {
    const end = figures.changeovers[index + 1];
    return [
      String(jar.number),
      end?.timeS == null ? '–' : clock(end.timeS),
      orDash(end?.vapourC ?? null, 2),
      orDash(end?.vapourAtReferenceC ?? null, 2),
      orDash(jar.volumeL, 3),
      orDash(jar.strengthAbv === null ? null : 100 * jar.strengthAbv, 1) + (jar.strengthBy === 'vapour' ? '*' : ''),
      orDash(jar.alcoholL, 3),
      orDash(end?.sharePercent ?? null, 1),
      sayName(jar.verdict, english),
      saidOf(jar),
    ];
  });
}

function saidOf({ consensus }: JarFigures): string {
  const words = consensus.descriptors.slice(0, 3).map(({ word }) => word);
  const dissent = consensus.dissent.map(({ taster, verdict }) => `${taster}: ${verdict}`);
  return [...words, ...dissent].join(', ');
}

export const jarHead = ['jar', 'until', 'vapour °C', 'at ref', 'L', '% vol', 'pure L', 'share %', 'verdict', 'tasted'];

function show(sheet: Sheet, figures: SheetFigures, missing: readonly string[]): string {
  const { charge, still } = sheet;
  const about = `${sheet.name}: ${charge.volumeL} L of ${charge.strengthVolPercent} % vol in ${still.name}, ${figures.chargeAlcoholL.toFixed(2)} L of pure alcohol`;
  const rows = table(jarHead, jarRows(figures), [8, 9]);
  const estimated = figures.jars.some((jar) => jar.strengthBy === 'vapour');
  const notes = [
    ...(estimated ? ['* estimated from the vapour temperature'] : []),
    ...figures.problems.map(showProblem),
    ...missing,
  ];
  return `${about}\n\n${rows}\n${notes.length === 0 ? '' : `\n${notes.join('\n')}\n`}`;
}

/** What a recipe would still need, in words. */
function missingOn(figures: SheetFigures): readonly string[] {
  const of = (test: (jar: JarFigures) => boolean) => figures.jars.filter(test).map((jar) => jar.number);
  const lines: readonly (readonly [string, readonly number[]])[] = [
    ['volume is missing in jars', of((jar) => jar.volumeL === null)],
    ['nobody has decided on jars', of((jar) => jar.consensus.decidedBy === 'nobody')],
    [
      'vapour temperature is missing at the end of jars',
      of((jar) => (figures.changeovers[jar.number]?.vapourC ?? null) === null),
    ],
    [
      'air pressure is missing at the end of jars',
      of((jar) => (figures.changeovers[jar.number]?.stationHPa ?? null) === null),
    ],
  ];
  return lines.flatMap(([what, jars]) => (jars.length === 0 ? [] : [`${what} ${jars.join(', ')}`]));
}
