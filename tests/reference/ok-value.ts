import { type Checked, showProblem } from '../../lib/problems';

/** The value of a result that must be good; otherwise the test fails with its problems. */
export function okValue<T>(checked: Checked<T>): T {
  if (checked.kind === 'bad') throw new Error(checked.problems.map(showProblem).join('; '));
  return checked.value;
}
