import { problem } from '../../lib/problems';
import { english } from '../../lib/words';
import { readAllAfterRuns, readStory, wordingOf } from '../report';
import { type Journal, StoreError } from '../store';
import { type Command, fail, flagOf, type Io, misunderstood, textOf } from './command';
import { type Call, readCall } from './quantity-options';
import { failStore, withRecord } from './record-options';
import { enterAfterRun, entryOf } from './runs-enter';
import { keptFeints, listingOf, listRuns, plainListed, showFeints, showListed } from './runs-list';
import { plainStory, showStory } from './runs-one';

const help = `middlecut runs [OPTIONS]                     the runs in the record, latest first
middlecut runs ID [--verify]                 one run whole: recipe, fractions, balance, alarms, orders, chain
middlecut runs ID --measure WHAT --volume V --strength S
                                             enter what was measured after the run
middlecut runs ID --keep heads,tails --volume V --strength S [--where TEXT]
                                             feints kept for a later charge; --feints lists those of all runs
middlecut runs ID --used-in RUN              the kept feints were charged to another run
middlecut runs ID --note TEXT                a note beside the run

What is entered stands beside the run and changes nothing of it; each entry is kept, with who made it and when.

  --still ID, --recipe NAME, --kind KIND, --outcome OUTCOME, --open
                      runs of that still, recipe, kind (spirit, stripping, water-test, …) or outcome; those still open
  --since D, --until D
                      started on these days or between, 2026-05-12 or 2026-05-12T08:00, local time
  --text TEXT         found in the names of run, still, recipe and variant, the outcome, or the notes
  --limit N           not more than so many
  --verify            walk along the hash chain: is all as it was written?
  --feints            feints that wait for a later charge
  --measure WHAT      charge, foreshots, heads, hearts, tails or residue (what stayed in the boiler)
  --volume V          8.1L, 750mL or 2gal; --temp T of the liquid then, 20C if left out
  --strength S        73.9%vol, 148proof, 65%mass: the true strength (of a reading: middlecut strength --hydrometer)
  --volume-error V, --strength-error S
                      standard uncertainties; 0.5 % and 0.2 % vol if left out
  --withdraw          with --measure: take it back
  --number N          with --used-in: only these of the kept feints
  --by NAME           who enters it; the user who is logged in if left out
  --data FOLDER       where the record lies (middlecut-data)
  --json              figures in full, with units in their names

Exit codes: 0 done, 1 something is wrong (a broken record too), 2 not understood.
`;

const text = { type: 'string' } as const;
const flag = { type: 'boolean' } as const;
const spec = {
  still: text,
  recipe: text,
  kind: text,
  outcome: text,
  open: flag,
  since: text,
  until: text,
  text,
  limit: text,
  verify: flag,
  feints: flag,
  measure: text,
  keep: text,
  'used-in': text,
  note: text,
  volume: text,
  strength: text,
  temp: text,
  'volume-error': text,
  'strength-error': text,
  where: text,
  withdraw: flag,
  number: text,
  by: text,
  data: text,
} as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readCall(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'runs', read.message);
  const { call } = read;
  const { positionals } = call.options;
  if (positionals.length > 1) return misunderstood(io, 'runs', `one run at a time, not ${positionals.join(', ')}.`);
  const runId = positionals[0];
  try {
    return runId === undefined ? many(call, io) : one(call, runId, io);
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    return failStore(io, error.failure, flagOf(call.options, 'json'));
  }
}

function many(call: Call, io: Io): number {
  const { options, problems } = call;
  const json = flagOf(options, 'json');
  const entry = entryOf(call);
  if (entry !== null) {
    return misunderstood(io, 'runs', `name the run that --${entry} is about: middlecut runs ID --${entry} …`);
  }
  const listing = listingOf(options, problems);
  if (problems.length > 0) return fail(io, problems, json);
  return withRecord(options, 'read', io, json, (journal) => {
    if (flagOf(options, 'feints')) return feintsOf(journal, json, io);
    const listed = listRuns(journal, listing, flagOf(options, 'verify'));
    if (listed.kind === 'failed') return failStore(io, listed.failure, json);
    const { runs: found, damage } = listed.value;
    if (json) io.out(`${JSON.stringify({ runs: found.map(plainListed), damage }, null, 2)}\n`);
    else io.out(showListed(found));
    if (damage !== null && !json) failStore(io, damage, json);
    return damage !== null || found.some(({ verified }) => verified?.kind === 'broken') ? 1 : 0;
  });
}

function feintsOf(journal: Journal, json: boolean, io: Io): number {
  const after = readAllAfterRuns(journal);
  if (after.kind === 'failed') return failStore(io, after.failure, json);
  const feints = keptFeints(after.value);
  io.out(json ? `${JSON.stringify({ feints }, null, 2)}\n` : showFeints(feints));
  return 0;
}

/** Options that choose among runs say nothing where one is named. */
const choosing = ['still', 'recipe', 'kind', 'outcome', 'since', 'until', 'text', 'limit'] as const;

function one(call: Call, runId: string, io: Io): number {
  const { options, problems } = call;
  const json = flagOf(options, 'json');
  for (const name of choosing) {
    const given = textOf(options, name);
    if (given !== undefined)
      problems.push(problem(`--${name}`, given, 'chooses among runs', `Leave out ${runId}, or this`));
  }
  const entry = entryOf(call);
  if (problems.length > 0) return fail(io, problems, json);
  return withRecord(options, entry === null ? 'read' : 'write', io, json, (journal) => {
    if (entry !== null) {
      const code = enterAfterRun(journal, runId, entry, call, io);
      if (code !== 0) return code;
    }
    const story = readStory(journal, runId, { verify: flagOf(options, 'verify') });
    if (story.kind === 'failed') return failStore(io, story.failure, json);
    const wording = wordingOf(english);
    if (json) io.out(`${JSON.stringify(plainStory(story.value, wording), null, 2)}\n`);
    else io.out(showStory(story.value, wording));
    return story.value.verified?.kind === 'broken' || story.value.damage.length > 0 ? 1 : 0;
  });
}

export const runs: Command = { help, run };
