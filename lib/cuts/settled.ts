import { movedOver } from '../engine/estimate';
import type { CutRule } from './rule';
import { unread } from './temperature';

export const settled: CutRule<'settled'> = {
  test: 'settled',
  needs: () => [['vapour-temp'], ['air-pressure']],
  judge: (test, context) => {
    const inPhaseS = context.now - context.phaseSinceS;
    if (context.estimate.vapourTempC === null) return unread(context, 'vapour-temp');
    const moved = inPhaseS < test.overS ? null : movedOver(context.estimate.recent, test.overS, context.now);
    const numbers = { withinK: test.withinK, overS: test.overS, inPhaseS, atLeastS: test.atLeastS };
    if (moved === null || inPhaseS < test.atLeastS) {
      return { kind: 'known', excess: -1, deadband: 0, reason: { code: 'test.settling', numbers } };
    }
    const changeK = Math.abs(moved.changeK);
    return {
      kind: 'known',
      excess: test.withinK - changeK,
      deadband: test.withinK,
      reason: { code: 'test.settled', numbers: { ...numbers, changeK } },
    };
  },
};
