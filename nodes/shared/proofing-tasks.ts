import { type Checked, type Problem, problem, showProblem } from '../../lib/problems';
import { adjustTo, type BlendPart, blend, planBottling, reduce, type SpiritAmount } from '../../lib/proofing';

/** Sums of the trade a proofing node can do. */
export const proofingTasks = ['reduce', 'bottle', 'blend', 'adjust'] as const;
export type ProofingTask = (typeof proofingTasks)[number];

/** What a task is about, as people write it: per cent, litres or kilograms, degrees Celsius. */
export interface ProofingRequest {
  readonly volumeL?: unknown;
  readonly massKg?: unknown;
  readonly volPercent?: unknown;
  readonly tempC?: unknown;
  readonly targetPercent?: unknown;
  readonly restsPercent?: unknown;
  readonly waterTempC?: unknown;
  /** adjust: strength of what is added. */
  readonly withPercent?: unknown;
  readonly parts?: unknown;
}

export type ProofingAnswer =
  | { readonly kind: 'ok'; readonly value: Readonly<Record<string, unknown>>; readonly warnings: readonly string[] }
  | { readonly kind: 'bad'; readonly why: string };

type Numbers = {
  readonly number: (field: string, value: unknown, usual?: number) => number;
  readonly problems: Problem[];
};

/** Reads numbers and gathers what is wrong with them; text is a number only where it is written as one. */
function reader(): Numbers {
  const problems: Problem[] = [];
  return {
    problems,
    number(field, value, usual) {
      if ((value === undefined || value === null || value === '') && usual !== undefined) return usual;
      const read = typeof value === 'string' && /^\s*[+-]?\d+(\.\d+)?\s*$/.test(value) ? Number(value) : value;
      if (typeof read === 'number' && Number.isFinite(read)) return read;
      problems.push(problem(field, value, value === undefined ? 'is missing' : 'is no number', 'Send a plain number'));
      return Number.NaN;
    },
  };
}

function amountOf(request: ProofingRequest, numbers: Numbers, path = ''): SpiritAmount {
  if (request.massKg !== undefined && request.massKg !== null && request.massKg !== '')
    return { kind: 'mass', massKg: numbers.number(`${path}massKg`, request.massKg) };
  return {
    kind: 'volume',
    volumeL: numbers.number(`${path}volumeL`, request.volumeL),
    tempC: numbers.number(`${path}tempC`, request.tempC, 20),
  };
}

function restsOf(value: unknown, numbers: Numbers): number[] {
  if (value === undefined || value === null || value === '') return [];
  const list = Array.isArray(value)
    ? value
    : String(value)
        .split(/[;,\s]+/)
        .filter((one) => one !== '');
  return list.map((one, index) => numbers.number(`restsPercent.${index}`, one) / 100);
}

/** Problems speak of fractions; people here write per cent under other names. */
const names: Readonly<Record<string, string>> = {
  strengthAbv: 'volPercent',
  targetAbv: 'targetPercent',
  secondAbv: 'withPercent',
  finishedAbv: 'targetPercent',
  finishedL: 'volumeL',
};

function inPercent(one: Problem): Problem {
  const path = one.path
    .replace(/\w+Abv|finishedL/g, (name) => names[name] ?? name)
    .replace(/^amount\.|^parts\.0\.amount\./, '');
  const value = Number(one.value);
  if (!/Abv/.test(one.path) || !Number.isFinite(value)) return { ...one, path };
  return { ...one, path, value: `${Math.round(value * 1e4) / 100} % vol` };
}

function answer<T>(
  numbers: Numbers,
  calculate: () => Checked<T>,
  show: (value: T) => Record<string, unknown>,
): ProofingAnswer {
  const checked: Checked<T> = numbers.problems.length > 0 ? { kind: 'bad', problems: numbers.problems } : calculate();
  if (checked.kind === 'bad')
    return { kind: 'bad', why: checked.problems.map((one) => showProblem(inPercent(one))).join(' ') };
  return {
    kind: 'ok',
    value: show(checked.value),
    warnings: checked.warnings.map((one) => showProblem(inPercent(one))),
  };
}

/** Water only makes weaker: every strength on the way must be below the one before. */
function checkFalling(strengths: readonly number[], numbers: Numbers): void {
  const percent = (share: number) => `${Math.round(share * 1e4) / 100} % vol`;
  for (let at = 1; at < strengths.length; at += 1) {
    const [before, here] = [strengths[at - 1]!, strengths[at]!];
    if (!(here > before)) continue;
    const path = at === strengths.length - 1 ? 'targetPercent' : `restsPercent.${at - 1}`;
    const message = `is stronger than the ${percent(before)} before it`;
    numbers.problems.push(
      problem(path, percent(here), message, 'Give falling strengths, or blend with something stronger'),
    );
  }
}

function doReduce(request: ProofingRequest): ProofingAnswer {
  const numbers = reader();
  const amount = amountOf(request, numbers);
  const strengthAbv = numbers.number('volPercent', request.volPercent) / 100;
  const targetAbv = numbers.number('targetPercent', request.targetPercent) / 100;
  const restsAbv = restsOf(request.restsPercent, numbers);
  const waterTempC = numbers.number('waterTempC', request.waterTempC, 20);
  checkFalling([strengthAbv, ...restsAbv, targetAbv], numbers);
  return answer(
    numbers,
    () => reduce({ amount, strengthAbv, targetAbv, restsAbv, waterTempC }),
    (found) => ({
      waterKg: found.waterKg,
      waterL: found.waterL,
      massKg: found.massKg,
      volumeL: found.volume20L,
      volPercent: targetAbv * 100,
      alcoholL: found.alcoholL,
      contractionL: found.contractionL,
      steps: found.steps.map((step) => ({
        fromPercent: step.fromAbv * 100,
        toPercent: step.toAbv * 100,
        waterKg: step.waterKg,
        waterL: step.waterL,
        volumeL: step.volume20L,
      })),
    }),
  );
}

function doBottle(request: ProofingRequest): ProofingAnswer {
  const numbers = reader();
  const volumeL = numbers.number('volumeL', request.volumeL);
  const strengthAbv = numbers.number('volPercent', request.volPercent) / 100;
  const targetAbv = numbers.number('targetPercent', request.targetPercent) / 100;
  return answer(
    numbers,
    () => planBottling(volumeL, targetAbv, strengthAbv),
    (plan) => ({
      spiritL: plan.spirit20L,
      spiritKg: plan.spiritKg,
      waterL: plan.water20L,
      waterKg: plan.waterKg,
      volumeL,
      volPercent: targetAbv * 100,
    }),
  );
}

function doBlend(request: ProofingRequest): ProofingAnswer {
  const numbers = reader();
  const list = Array.isArray(request.parts) ? (request.parts as readonly unknown[]) : [];
  const parts: BlendPart[] = list.map((one, index) => {
    const part = (one !== null && typeof one === 'object' ? one : {}) as ProofingRequest;
    return {
      amount: amountOf(part, numbers, `parts.${index}.`),
      strengthAbv: numbers.number(`parts.${index}.volPercent`, part.volPercent) / 100,
    };
  });
  if (!Array.isArray(request.parts))
    numbers.problems.push(
      problem('parts', request.parts, 'is no list', 'Send [{ "volumeL": 1, "volPercent": 70 }, …]'),
    );
  return answer(
    numbers,
    () => blend(parts),
    (found) => ({
      volumeL: found.volume20L,
      volPercent: found.strength.strengthAbv * 100,
      proofUs: found.strength.proofUs,
      massKg: found.massKg,
      alcoholL: found.alcoholL,
      proofGallons: found.proofGallons,
      contractionL: found.contractionL,
      alcoholShares: found.alcoholShares,
    }),
  );
}

function doAdjust(request: ProofingRequest): ProofingAnswer {
  const numbers = reader();
  const first = {
    amount: amountOf(request, numbers),
    strengthAbv: numbers.number('volPercent', request.volPercent) / 100,
  };
  const secondAbv = numbers.number('withPercent', request.withPercent) / 100;
  const targetAbv = numbers.number('targetPercent', request.targetPercent) / 100;
  return answer(
    numbers,
    () => adjustTo(first, secondAbv, targetAbv),
    (found) => ({
      addL: found.add20L,
      addKg: found.addKg,
      volumeL: found.volume20L,
      massKg: found.massKg,
      volPercent: targetAbv * 100,
    }),
  );
}

const doers: Readonly<Record<ProofingTask, (request: ProofingRequest) => ProofingAnswer>> = {
  reduce: doReduce,
  bottle: doBottle,
  blend: doBlend,
  adjust: doAdjust,
};

/** Does a sum of the trade; every problem at once, in the words people use here. */
export function doProofing(task: ProofingTask, request: ProofingRequest): ProofingAnswer {
  return doers[task](request);
}
