import { type Command, type Io, misunderstood } from './command';

const help = `middlecut jars check FILE                    read a jar sheet and say what is wrong or missing
middlecut jars derive FILE [-o RECIPE]       recipe from the verdicts: cuts, how sharp they are, choices, cautions
middlecut jars labels FILE -o PAGE.html      labels to print on A4, as many as --up-to N
middlecut jars glasses FILE --seed N         order of a blind tasting, with hidden numbers; keep the seed from the tasters
middlecut jars reveal FILE --seed N          which jar was behind which number
middlecut jars new -o SHEET.csv              an empty sheet to fill in by hand
middlecut jars diff RECIPE RECIPE            how two recipes differ, in words

In the record (--data FOLDER, middlecut-data unless given), where every change is a revision and none is ever lost:
middlecut jars list                          sheets there are
middlecut jars from-run RUN -o SHEET.csv     sheet of a development run, as its jar changes were recorded
middlecut jars about ID --charge-l L …       what a sheet is about: --name, --charge-l, --charge-percent, --charge-is
middlecut jars measure ID JAR …              --volume-l, --strength-percent, --sample-temp; --note
middlecut jars note ID JAR --taster WHO …    --nose, --front, --middle, --back, --words "pear|honey", --intensity 0..5
middlecut jars verdict ID JAR VERDICT        out, in, in-for-oak, unsure; a taster's word with --taster, else the decision
middlecut jars history ID                    everything ever written on a sheet, with who and when

FILE is CSV, JSON or YAML; --sheet ID in its place takes a sheet of the record.

  -o, --out FILE     where the result goes; .json, .yaml or .csv by its ending
  --by temperature   both cuts by temperature alone; heads by share and tails by temperature unless given
  --heads-by WHAT    share, temperature
  --tails-by WHAT    temperature, strength, share
  --heads-cut HOW    automatic, ask (your nose decides)
  --insist WHAT      in spite of contradictions: span (first to last jar that is in) or longest (the longest row)
  --bottling P       strength in the bottle for the table of choices, % vol (42)
  --name NAME        name of the recipe or sheet
  --rated-w W        rated power of the heat: the recipe then asks for the heat of the sheet
  --reference HPA    pressure the recipe's temperatures are for (1013.25)
  --repeat-charge P  how nearly the next charge repeats, % vol (0.3); --repeat-heat % (3); --repeat-probe K
  --order ORDER      random, outside-in, inside-out, as-filled
  --seed N           the same seed pours the same glasses
  --open             glasses without hidden numbers
  --up-to N          blank labels up to this jar
  --still NAME, --jars N, --altitude M    for a new sheet
  --by-whom WHO      who writes, for the record
  --json             the result as JSON

Temperatures are those at 1013.25 hPa unless said. Minor compounds are predictions, never an analysis. Taking heads away
does not take methanol away. A recipe repeats cuts; it makes no still safe.

Examples
  $ middlecut jars derive pear.csv --bottling 42 -o pear.yaml
  $ middlecut jars glasses pear.csv --order outside-in --seed 7041
`;

type Verb = (args: readonly string[], io: Io) => number;

/** Every verb: a file of its own, loaded when used. */
const verbs: Readonly<Record<string, () => Promise<Verb>>> = {
  check: async () => (await import('./jars-check.js')).check,
  derive: async () => (await import('./jars-derive.js')).derive,
  labels: async () => (await import('./jars-paper.js')).labels,
  new: async () => (await import('./jars-paper.js')).blank,
  glasses: async () => (await import('./jars-glasses.js')).glasses,
  reveal: async () => (await import('./jars-glasses.js')).reveal,
  diff: async () => (await import('./jars-diff.js')).diff,
  list: async () => (await import('./jars-history.js')).list,
  history: async () => (await import('./jars-history.js')).history,
  'from-run': async () => (await import('./jars-from-run.js')).fromRun,
  about: async () => (await import('./jars-write.js')).about,
  measure: async () => (await import('./jars-write.js')).measure,
  note: async () => (await import('./jars-write.js')).note,
  verdict: async () => (await import('./jars-write.js')).verdict,
};

async function run(args: readonly string[], io: Io): Promise<number> {
  const [name, ...rest] = args;
  const names = Object.keys(verbs).join(', ');
  if (name === undefined || name.startsWith('-')) return misunderstood(io, 'jars', `say what to do: ${names}.`);
  const load = Object.hasOwn(verbs, name) ? verbs[name] : undefined;
  if (load === undefined) return misunderstood(io, 'jars', `there is no "${name}"; use one of ${names}.`);
  return (await load())(rest, io);
}

export const jars: Command = { help, run };
