import { type Glass, type PouringOrder, pourGlasses } from '../../lib/jars';
import { type Problem, problem } from '../../lib/problems';
import { fail, flagOf, type Io, misunderstood, numberOf, readOptions, textOf } from './command';
import { wordOf } from './jars-derive';
import { sheetOf, sheetOptions } from './jars-sheet';
import { table } from './table';

const orders: readonly PouringOrder[] = ['random', 'outside-in', 'inside-out', 'as-filled'];

interface Poured {
  readonly order: PouringOrder;
  readonly seed: number;
  readonly glasses: readonly Glass[];
}

function pour(args: readonly string[], io: Io, show: (poured: Poured, json: boolean) => string): number {
  const spec = {
    ...sheetOptions,
    order: { type: 'string' },
    seed: { type: 'string' },
    open: { type: 'boolean' },
  } as const;
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'jars', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const problems: Problem[] = [];
  const order = wordOf(options, 'order', orders, problems) ?? 'random';
  const seed = numberOf(options, 'seed', problems, [0, 2_147_483_646]);
  if (textOf(options, 'seed') === undefined) {
    problems.push(problem('--seed', undefined, 'is missing', 'Give a number the tasters do not know; reveal needs it'));
  }
  const sheet = sheetOf(options, options.positionals[0]);
  if (sheet.kind === 'bad') problems.push(...sheet.problems);
  if (problems.length > 0 || sheet.kind === 'bad' || seed === null) return fail(io, problems, json);
  const jars = sheet.value.jars.map((jar) => jar.number);
  io.out(show({ order, seed, glasses: pourGlasses(jars, order, seed, !flagOf(options, 'open')) }, json));
  return 0;
}

/** The pouring list for whoever pours: it names the jars, so the tasters must not see it. */
export function glasses(args: readonly string[], io: Io): number {
  return pour(args, io, ({ order, seed, glasses: poured }, json) => {
    if (json) return `${JSON.stringify({ order, seed, glasses: poured }, null, 2)}\n`;
    const rows = poured.map(({ position, jar, hiddenNumber }) => [
      String(position),
      hiddenNumber === null ? '–' : String(hiddenNumber),
      String(jar),
    ]);
    const notes = 'For whoever pours, not for those who taste. Dilute all glasses alike; spit, do not swallow.';
    return `${table(['glass', 'number on it', 'from jar'], rows)}\n\n${notes}\n`;
  });
}

/** Jar by jar, the number its glass had. */
export function reveal(args: readonly string[], io: Io): number {
  return pour(args, io, ({ order, seed, glasses: poured }, json) => {
    const byJar = [...poured].sort((a, b) => a.jar - b.jar);
    if (json) return `${JSON.stringify({ order, seed, jars: byJar }, null, 2)}\n`;
    const rows = byJar.map(({ position, jar, hiddenNumber }) => [
      String(jar),
      hiddenNumber === null ? '–' : String(hiddenNumber),
      String(position),
    ]);
    return `${table(['jar', 'number on its glass', 'tasted as'], rows)}\n`;
  });
}
