import { dewPoint, moleFractionFromAbv } from '../physics';
import { type CutRule, needsPressure } from './rule';
import { judgeTemperature } from './temperature';

/** Strength in the parrot, or the vapour temperature at which vapour of that strength condenses. */
export const strength: CutRule<'strength'> = {
  test: 'strength',
  needs: (test) => (test.by === 'parrot' ? [['parrot-strength']] : [['vapour-temp'], needsPressure]),
  threshold: (test, referenceHPa) =>
    test.by === 'parrot'
      ? null
      : { tempC: dewPoint(moleFractionFromAbv(test.atMostVolPercent / 100), referenceHPa).tempC, line: 'vapour' },
  deadbandK: (test) => (test.by === 'parrot' ? null : kelvinOf(test)),
  judge: (test, context) => {
    const { strengthAbv, strengthBy, vapourTempC } = context.estimate;
    if (test.by === 'parrot') {
      if (strengthAbv === null || strengthBy !== 'parrot') {
        return { kind: 'lost', reason: { code: 'lost.parrot', numbers: {} } };
      }
      return {
        kind: 'known',
        excess: test.atMostVolPercent - strengthAbv * 100,
        deadband: test.deadbandVolPercent,
        reason: {
          code: 'test.strength-parrot',
          numbers: { strengthVolPercent: strengthAbv * 100, atMostVolPercent: test.atMostVolPercent },
        },
      };
    }
    const thresholdC = context.curve?.thresholdC ?? Number.NaN;
    return judgeTemperature(
      context,
      vapourTempC,
      'vapour-temp',
      thresholdC,
      context.deadbandK ?? kelvinOf(test),
      'strength-vapour',
      {
        strengthVolPercent: (strengthAbv ?? 0) * 100,
        atMostVolPercent: test.atMostVolPercent,
      },
    );
  },
};

/** The deadband as a temperature: how far apart the two strengths condense at 1013.25 hPa [K]. */
function kelvinOf(test: { atMostVolPercent: number; deadbandVolPercent: number }): number {
  const dewC = (volPercent: number) => dewPoint(moleFractionFromAbv(Math.min(0.96, volPercent / 100)), 1013.25).tempC;
  return Math.max(0.05, dewC(test.atMostVolPercent) - dewC(test.atMostVolPercent + test.deadbandVolPercent));
}
