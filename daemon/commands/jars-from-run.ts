import { checkSheet, type Sheet, writeCsv } from '../../lib/jars';
import { type Checked, type Problem, problem } from '../../lib/problems';
import { engine } from '../host/restore';
import { type SheetView, sheetDocument } from '../page';
import { type Journal, rescanRun, StoreError } from '../store';
import { fail, flagOf, type Io, misunderstood, numberOf, readOptions, textOf } from './command';
import { writeSheet } from './jars-paper';
import { viewInRecord, withRecord } from './jars-sheet';

/** The sheet of a development run as the engine recorded its jar changes, with what was measured and tasted since. */
export function fromRun(args: readonly string[], io: Io): number {
  const spec = {
    data: { type: 'string' },
    out: { type: 'string', short: 'o' },
    'charge-l': { type: 'string' },
    'charge-percent': { type: 'string' },
  } as const;
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const [runId] = options.positionals;
  if (runId === undefined) return misunderstood(io, 'jars', 'name the run; middlecut runs lists them.');
  const problems: Problem[] = [];
  const volumeL = numberOf(options, 'charge-l', problems, [0.1, 1e5]);
  const percent = numberOf(options, 'charge-percent', problems, [0.1, 96]);
  if (problems.length > 0) return fail(io, problems, json);
  const sheet = withRecord(options, true, (journal) => {
    const view = viewInRecord(journal, runId);
    return view.kind === 'bad' ? view : sheetOfRun(journal, view.value, { volumeL, percent });
  });
  if (sheet.kind === 'bad') return fail(io, sheet.problems, json);
  const out = textOf(options, 'out');
  if (out !== undefined) writeSheet(out, sheet.value);
  if (json) io.out(`${JSON.stringify(sheet.value, null, 2)}\n`);
  else io.out(out === undefined ? writeCsv(sheet.value) : `${sheet.value.jars.length} jars in ${out}.\n`);
  return 0;
}

interface Given {
  readonly volumeL: number | null;
  readonly percent: number | null;
}

function sheetOfRun(journal: Journal, view: SheetView, given: Given): Checked<Sheet> {
  if (view.jars.length === 0) {
    const remedy = 'Order next-jar in the run, or set `jars` for the still in the configuration';
    return { kind: 'bad', problems: [problem('run', view.id, 'has filled no jars', remedy)] };
  }
  const { chargeL, chargeVolPercent } = view.about.content;
  const charged = { chargeL: given.volumeL ?? chargeL, chargeVolPercent: given.percent ?? chargeVolPercent };
  const content = { ...view.about.content, ...known(charged) };
  const document = sheetDocument({ ...view, about: { ...view.about, content } });
  if (document === null) {
    const remedy = 'Give --charge-l and --charge-percent';
    return { kind: 'bad', problems: [problem('charge', undefined, 'is not in the record of this run', remedy)] };
  }
  const boiler = view.about.content.run === undefined ? new Map<number, number>() : boilerAtJars(journal, view.id);
  const jars = document.jars.map((jar) => {
    const [start, end] = [boiler.get(jar.number), boiler.get(jar.number + 1)];
    return {
      ...jar,
      ...(jar.start === undefined || start === undefined ? {} : { start: { boilerTempC: start, ...jar.start } }),
      ...(jar.end === undefined || end === undefined ? {} : { end: { boilerTempC: end, ...jar.end } }),
    };
  });
  return checkSheet({ ...document, jars });
}

function known<T extends object>(fields: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };
}

/** Boiler temperature when each jar was begun, from the run folded again; none where its readings were thinned. */
function boilerAtJars(journal: Journal, runId: string): ReadonlyMap<number, number> {
  const found = new Map<number, number>();
  try {
    for (const { result } of rescanRun(journal, runId, engine)) {
      const { boilerTempC } = result.run.estimate;
      for (const event of result.events)
        if (event.kind === 'jar' && boilerTempC !== null) found.set(event.number, boilerTempC);
    }
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
  }
  return found;
}
