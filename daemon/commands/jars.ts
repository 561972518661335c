import { type Command, type Io, misunderstood } from './command';

const help = `middlecut jars check FILE                read a jar sheet, say what is wrong or missing
middlecut jars derive FILE [-o RECIPE]   recipe from the verdicts: cuts, how sharp they are, choices, cautions
middlecut jars labels FILE -o PAGE.html  labels to print on A4, as many as --up-to N
middlecut jars glasses FILE --seed N     order of a blind tasting, with hidden numbers; keep the seed to yourself
middlecut jars reveal FILE --seed N      which jar was behind which number
middlecut jars new -o SHEET.csv          an empty sheet to fill in by hand
middlecut jars diff RECIPE RECIPE        how two recipes differ, in words

In the record every change is a revision of its own, and none is ever lost:
middlecut jars list                      sheets there are
middlecut jars import FILE               a sheet of a run made by hand into the record, to derive from and compare with
middlecut jars from-run RUN -o FILE      sheet of a development run, as its jar changes were recorded
middlecut jars about ID …                --name, --charge-l, --charge-percent, --charge-is, --foreshots-jars
middlecut jars measure ID JAR …          --volume-l, --strength-percent, --sample-temp, --note; --vapour-c and
                                         --pressure-hpa at its end, where no run has read them
middlecut jars note ID JAR …             --taster WHO, --nose, --front, --middle, --back, --words "pear|honey",
                                         --intensity 0 to 5, --verdict
middlecut jars verdict ID JAR VERDICT    out, in, in-for-oak, unsure or undecided: the decision; with --taster WHO
                                         that taster's word
middlecut jars history ID                everything ever written on a sheet, with who and when

FILE is CSV, JSON or YAML; --sheet ID in its place takes a sheet of the record.

  -o, --out FILE      where the result goes; .json, .yaml or .csv by its ending
  --data FOLDER       where the record lies (middlecut-data)
  --by temperature    both cuts by temperature alone; usual is heads by share, tails by temperature (--by share)
  --heads-by WHAT     share, temperature
  --tails-by WHAT     temperature, strength, share
  --heads-cut HOW     automatic, ask (your nose decides)
  --insist WHAT       in spite of contradictions: span (first to last jar that is in), longest (the longest row)
  --bottling P        strength in the bottle for the table of choices, % vol (42)
  --name NAME         name of the recipe or sheet
  --rated-w W         what the heat gives at full power: the recipe then repeats the heat of the sheet
  --reference HPA     pressure the temperatures of the recipe are for (1013.25)
  --repeat-charge P   how nearly the next charge repeats this one, % vol (0.3)
  --repeat-heat P     and its heat, % (3)
  --repeat-probe K    and its probe (the accuracy on the sheet)
  --order ORDER       random, outside-in, inside-out, as-filled
  --seed N            the same seed pours the same glasses
  --open              glasses without hidden numbers
  --still NAME        for a new sheet; also --jars N and --altitude M
  --by-whom WHO       who writes, for the record
  --json              the result as JSON

Minor compounds are predictions, never an analysis. Taking heads away does not take methanol away. A recipe repeats
cuts; it makes no still safe.

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
  import: async () => (await import('./jars-import.js')).importSheet,
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
