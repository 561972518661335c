import { type Problem, problem } from '../../lib/problems';
import { type Fraction, fractions } from '../../lib/recipe/schema';
import {
  type AfterRun,
  checkAfterRun,
  isPotable,
  type Measurable,
  measurables,
  readAfterRun,
  saveAfterRun,
} from '../report';
import type { Journal } from '../store';
import { fail, flagOf, type Io, textOf } from './command';
import { type Call, measuredOption, sampleTempOption, strengthOption } from './quantity-options';
import { failStore, whoOf } from './record-options';
import { abvOf } from './show-figures';

/** The options that enter something after a run; one of them at a time. */
export const entries = ['measure', 'keep', 'used-in', 'note'] as const;
type Entry = (typeof entries)[number];

export function entryOf(call: Call): Entry | null {
  const given = entries.filter((name) => textOf(call.options, name) !== undefined);
  if (given.length > 1) {
    const names = given.map((name) => `--${name}`).join(' and ');
    call.problems.push(problem(names, undefined, 'stand together', 'Enter one thing at a time'));
  }
  return given[0] ?? null;
}

/** Enters something beside a run: 0 once it is on the disk, else 1 with what is wrong told already. */
export function enterAfterRun(journal: Journal, runId: string, entry: Entry, call: Call, io: Io): number {
  const json = flagOf(call.options, 'json');
  const run = journal.run(runId);
  if (run.kind === 'failed') return failStore(io, run.failure, json);
  const before = readAfterRun(journal, runId);
  if (before.kind === 'failed') return failStore(io, before.failure, json);
  const by = whoOf(call.options, io);
  if (entry === 'keep' && !isPotable(run.value.kind)) {
    const remedy = 'Discard it; a still that ran it is cleaned before the next charge';
    call.problems.push(problem('--keep', run.value.kind, 'this run gave nothing that may be charged again', remedy));
  }
  const content = changed(before.value.content, entry, call, { by, atMs: Date.now() }, journal);
  if (content === null || call.problems.length > 0) return fail(io, call.problems, json);
  const checked = checkAfterRun(content);
  if (checked.kind === 'bad') return fail(io, checked.problems, json);
  const saved = saveAfterRun(journal, runId, before.value, checked.value, by);
  return saved.kind === 'failed' ? failStore(io, saved.failure, json) : 0;
}

interface Who {
  readonly by: string;
  readonly atMs: number;
}

function changed(content: AfterRun, entry: Entry, call: Call, who: Who, journal: Journal): AfterRun | null {
  switch (entry) {
    case 'measure':
      return measured(content, call, who);
    case 'keep':
      return kept(content, call, who);
    case 'used-in':
      return used(content, call, journal);
    case 'note':
      return { ...content, notes: [...content.notes, { text: textOf(call.options, 'note') ?? '', ...who }] };
  }
}

const volumeBounds = { least: 0, most: 1e6, message: 'is out of range' };

/** What was measured takes the place of what was measured before; a figure that is not given again stays. */
function measured(content: AfterRun, call: Call, who: Who): AfterRun | null {
  const what = textOf(call.options, 'measure') ?? '';
  if (!isMeasurable(what)) {
    call.problems.push(problem('--measure', what, 'cannot be measured', `Use one of ${measurables.join(', ')}`));
    return null;
  }
  if (flagOf(call.options, 'withdraw')) {
    const { [what]: _withdrawn, ...rest } = content.measured;
    return { ...content, measured: rest };
  }
  const volumeL = measuredOption(call, 'volume', 'volume', volumeBounds);
  const strength = strengthOption(call, 'strength');
  const tempC = sampleTempOption(call, 'temp');
  const volumeUncertaintyL = measuredOption(call, 'volume-error', 'volume', volumeBounds);
  const strengthError = strengthOption(call, 'strength-error');
  if (volumeL === null && strength === null && call.problems.length === 0) {
    call.problems.push(problem('--volume', undefined, 'is missing', 'Give --volume, --strength or both'));
  }
  const figures = {
    ...(volumeL === null ? {} : { volumeL }),
    ...(strength === null ? {} : { strengthAbv: abvOf(strength.massFraction) }),
    ...(tempC === null ? {} : { tempC }),
    ...(volumeUncertaintyL === null ? {} : { volumeUncertaintyL }),
    // A difference of strengths, so on its own scale and not by way of the mass.
    ...(strengthError === null ? {} : { strengthUncertaintyAbv: strengthError.fraction }),
  };
  const before = content.measured[what];
  return { ...content, measured: { ...content.measured, [what]: { tempC: 20, ...before, ...figures, ...who } } };
}

const isMeasurable = (text: string): text is Measurable => (measurables as readonly string[]).includes(text);
const isFraction = (text: string): text is Fraction => (fractions as readonly string[]).includes(text);

/** Feints put by for a later charge: as given, or as they were measured. */
function kept(content: AfterRun, call: Call, who: Who): AfterRun | null {
  const names = (textOf(call.options, 'keep') ?? '').split(/[,+]/).map((name) => name.trim());
  const wrong = names.filter((name) => !isFraction(name));
  if (wrong.length > 0) {
    call.problems.push(problem('--keep', wrong.join(', '), 'is no fraction', `Use ${fractions.join(', ')}`));
  }
  const volumeL = neededVolumeL(call);
  const strength = strengthOption(call, 'strength');
  if (strength === null && textOf(call.options, 'strength') === undefined) {
    call.problems.push(problem('--strength', undefined, 'is missing', 'Give the strength of what is kept'));
  }
  if (volumeL === null || strength === null || call.problems.length > 0) return null;
  const where = textOf(call.options, 'where');
  const one = {
    fractions: names.filter(isFraction),
    volumeL,
    strengthAbv: abvOf(strength.massFraction),
    ...(where === undefined ? {} : { where }),
    ...who,
  };
  return { ...content, feints: [...content.feints, one] };
}

function neededVolumeL(call: Call): number | null {
  if (textOf(call.options, 'volume') === undefined) {
    call.problems.push(problem('--volume', undefined, 'is missing', 'Give the volume of what is kept'));
  }
  return measuredOption(call, 'volume', 'volume', volumeBounds);
}

/** Says in which run the kept feints were charged: those of --number, or all that are still there. */
function used(content: AfterRun, call: Call, journal: Journal): AfterRun | null {
  const usedIn = textOf(call.options, 'used-in') ?? '';
  const number = numberOfFeints(call, content, call.problems);
  const later = journal.run(usedIn);
  if (later.kind === 'failed') {
    call.problems.push(problem('--used-in', usedIn, later.failure.message, later.failure.remedy));
  } else if (!content.feints.some((one) => one.usedIn === undefined)) {
    call.problems.push(problem('--used-in', usedIn, 'no feints of this run are kept', 'Enter them with --keep first'));
  }
  if (call.problems.length > 0) return null;
  const feints = content.feints.map((one, index) =>
    one.usedIn === undefined && (number === null || number === index + 1) ? { ...one, usedIn } : one,
  );
  return { ...content, feints };
}

function numberOfFeints(call: Call, content: AfterRun, problems: Problem[]): number | null {
  const text = textOf(call.options, 'number');
  if (text === undefined) return null;
  const number = Number(text);
  if (content.feints[number - 1] !== undefined) return number;
  problems.push(problem('--number', text, 'is no number of kept feints', 'See the run for their numbers'));
  return null;
}
