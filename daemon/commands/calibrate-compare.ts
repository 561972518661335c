import { compareProbes } from '../../lib/calibrate';
import { problem, showValue } from '../../lib/problems';
import { fail, flagOf, type Io, textOf } from './command';
import { splitQuantities } from './quantity';
import { type Call, takeDifferenceK, takeReadings, textsOf } from './quantity-options';
import { alignRows, caution, fixed, present } from './show-figures';

const verdicts = {
  agree: 'agree',
  doubtful: 'doubtful: more than two uncertainties apart',
  disagree: 'disagree: more than three uncertainties apart',
} as const;

/** Whether two probes in the same place agree. Exit code 1 when they don't. */
export function compareTwo(call: Call, io: Io): number {
  const json = flagOf(call.options, 'json');
  const readings = takeReadings(call, 'compare', 'Give two readings');
  const uncertaintyTexts = splitQuantities(textOf(call.options, 'uncertainty') ?? '0.1K');
  const uncertainties = uncertaintyTexts.map((text) => takeDifferenceK(call, '--uncertainty', text));
  const [firstC, secondC] = readings;
  const [firstK, secondK = firstK] = uncertainties;
  if (call.problems.length === 0 && readings.length !== 2) {
    const shown = showValue(textsOf(call.options, 'compare').join(' '));
    const wrong = problem('--compare', undefined, 'needs two readings', 'Write --compare "92.4C 92.6C"');
    call.problems.push({ ...wrong, value: shown });
  }
  if (uncertainties.length > 2)
    call.problems.push(
      problem('--uncertainty', textOf(call.options, 'uncertainty'), 'is for two probes', 'Give one or two'),
    );
  if (call.problems.length > 0 || firstC === undefined || secondC === undefined || firstK == null || secondK == null)
    return fail(io, call.problems, json);
  const agreement = compareProbes(firstC, firstK, secondC, secondK);
  if (agreement.verdict === 'agree')
    call.cautions.push(
      caution('probes that share a well, a bus or a bath share its error', 'Agreement is then no proof'),
    );
  const plain = { firstC, secondC, firstUncertaintyK: firstK, secondUncertaintyK: secondK, ...agreement };
  const difference = `second less first ${fixed(agreement.differenceK, 3)} K ± ${fixed(agreement.uncertaintyK, 3)} K`;
  present(
    io,
    json,
    call,
    plain,
    alignRows([
      ['probes', verdicts[agreement.verdict]],
      ['difference', difference],
    ]),
  );
  return agreement.verdict === 'disagree' ? 1 : 0;
}
