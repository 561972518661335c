import { shiftVapourTemp } from '../physics';
import { type CutRule, needsPressure } from './rule';
import { unread } from './temperature';

export const vapourRise: CutRule<'vapour-rise'> = {
  test: 'vapour-rise',
  needs: () => [['vapour-temp'], needsPressure],
  judge: (test, context) => {
    const { vapourTempC, plateauC, pressure } = context.estimate;
    if (pressure.medianHPa === null) return { kind: 'lost', reason: { code: 'lost.air-pressure', numbers: {} } };
    if (vapourTempC === null) return unread(context, 'vapour-temp');
    if (plateauC === null || context.estimate.plateauPhase !== context.planned.step.phase) {
      return { kind: 'waiting', reason: { code: 'waiting.plateau', numbers: {} } };
    }
    const referenceHPa = context.plant.recipe?.referencePressureHPa ?? 1013.25;
    const riseK = shiftVapourTemp(vapourTempC, pressure.medianHPa, referenceHPa) - plateauC;
    const thresholdAtReferenceC = plateauC + test.byK;
    const thresholdHereC = shiftVapourTemp(thresholdAtReferenceC, referenceHPa, pressure.medianHPa);
    return {
      kind: 'known',
      excess: riseK - test.byK,
      deadband: test.deadbandK,
      thresholdHereC,
      thresholdAtReferenceC,
      reason: {
        code: 'test.vapour-rise',
        numbers: {
          tempC: vapourTempC,
          riseK,
          byK: test.byK,
          plateauC,
          referenceHPa,
          thresholdHereC,
          airPressureHPa: pressure.medianHPa,
        },
      },
    };
  },
};
