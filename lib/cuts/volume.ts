import { type CutRule, needsVolume } from './rule';

export const volume: CutRule<'volume'> = {
  test: 'volume',
  needs: (_test, still) => [needsVolume(still)],
  judge: (test, context) => {
    const { produced } = context.estimate;
    if (produced.source === 'none') return { kind: 'waiting', reason: { code: 'waiting.volume', numbers: {} } };
    const volumeL = test.since === 'run' ? produced.volumeL : produced.volumeL - context.phaseSinceL;
    return {
      kind: 'known',
      excess: volumeL - test.atLeastL,
      deadband: 0,
      reason: {
        code: 'test.volume',
        numbers: { volumeL, atLeastL: test.atLeastL, since: test.since, source: produced.source },
      },
    };
  },
};
