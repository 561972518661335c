import { type CutRule, needsVolume } from './rule';

export const alcoholShare: CutRule<'alcohol-share'> = {
  test: 'alcohol-share',
  needs: (_test, still) => [needsVolume(still), ['parrot-strength', 'vapour-temp']],
  judge: (test, context) => {
    const { produced } = context.estimate;
    const sharePercent = alcoholSharePercent(context.plant.charge, produced.alcoholL);
    if (sharePercent === null || produced.source === 'none') {
      return { kind: 'waiting', reason: { code: 'waiting.share', numbers: {} } };
    }
    return {
      kind: 'known',
      excess: sharePercent - test.atLeastPercent,
      deadband: 0,
      reason: {
        code: 'test.alcohol-share',
        numbers: {
          sharePercent,
          atLeastPercent: test.atLeastPercent,
          alcoholL: produced.alcoholL,
          source: produced.source,
        },
      },
    };
  },
};

/** Share of the charge's alcohol that has come over [%]; null without a charge. */
export function alcoholSharePercent(
  charge: { readonly volumeL: number; readonly strengthAbv: number } | null,
  alcoholL: number,
): number | null {
  const chargedL = charge === null ? 0 : charge.volumeL * charge.strengthAbv;
  return chargedL > 0 ? (alcoholL / chargedL) * 100 : null;
}
