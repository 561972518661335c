import type { CutRule } from './rule';

export const time: CutRule<'time'> = {
  test: 'time',
  needs: () => [],
  judge: (test, context) => {
    const inPhaseS = context.now - context.phaseSinceS;
    return {
      kind: 'known',
      excess: inPhaseS - test.atLeastS,
      deadband: 0,
      reason: { code: 'test.time', numbers: { inPhaseS, atLeastS: test.atLeastS } },
    };
  },
};
