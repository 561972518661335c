import { writeFileSync } from 'node:fs';
import { type Problem, problem } from '../../lib/problems';
import { comparedSheet } from '../page';
import { readStory, reportOf } from '../report';
import { StoreError } from '../store';
import { type Command, fail, flagOf, type Io, misunderstood, readOptions, textOf } from './command';
import { failStore, sayingOption, withRecord } from './record-options';

const help = `middlecut report ID [OPTIONS]

The report of a run as one HTML file, for the screen and for A4 paper: plots, fractions, balance of alcohol, cuts, the
comparison with the run its recipe came from, alarms, orders, decisions with their reasons, recipe, still, and the head
of the hash chain. Nothing in it runs, and nothing is loaded from elsewhere.

  --out FILE            where it goes (ID.html); - for standard output
  --temperatures C|F    scale of the temperatures (C)
  --language CODE       language of the reasons (en)
  --data FOLDER         where the record lies (middlecut-data)
  --json                which file was written, and how the record was found, as JSON

Exit codes: 0 done, 1 something is wrong; the report of a broken record is made, says so, and ends with 1.
`;

const spec = {
  out: { type: 'string' },
  temperatures: { type: 'string' },
  language: { type: 'string' },
  data: { type: 'string' },
} as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readOptions(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'report', read.message);
  const { options } = read;
  const [runId, second] = options.positionals;
  if (runId === undefined || second !== undefined) return misunderstood(io, 'report', 'name one run.');
  const json = flagOf(options, 'json');
  const problems: Problem[] = [];
  const saying = sayingOption(options, problems);
  const file = textOf(options, 'out') ?? `${runId.replace(/[^A-Za-z0-9._-]/g, '_').replace(/^\.+/, '_')}.html`;
  if (json && file === '-') problems.push(problem('--out', file, 'goes with text only', 'Name a file'));
  if (problems.length > 0) return fail(io, problems, json);
  return withRecord(options, 'read', io, json, (journal) => {
    try {
      const found = readStory(journal, runId, {
        verify: true,
        minutes: true,
        compare: 'readings',
        handRun: (id) => comparedSheet(journal, id),
      });
      if (found.kind === 'failed') return failStore(io, found.failure, json);
      const { verified, damage } = found.value;
      const html = reportOf(found.value, { saying, madeAtMs: Date.now() });
      const wrong = write(file, html, io);
      if (wrong !== null) return fail(io, [wrong], json);
      const bytes = Buffer.byteLength(html);
      if (json) io.out(`${JSON.stringify({ run: runId, file, bytes, verified, damage }, null, 2)}\n`);
      else if (file !== '-') io.out(`${file}: ${bytes} bytes\n`);
      return verified?.kind === 'whole' && damage.length === 0 ? 0 : 1;
    } catch (error) {
      if (!(error instanceof StoreError)) throw error;
      return failStore(io, error.failure, json);
    }
  });
}

function write(file: string, text: string, io: Io): Problem | null {
  if (file === '-') {
    io.out(text);
    return null;
  }
  try {
    writeFileSync(file, text);
    return null;
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    return problem('--out', file, `could not be written (${code})`, 'Name another place');
  }
}

export const report: Command = { help, run };
