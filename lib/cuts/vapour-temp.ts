import { type CutRule, needsPressure } from './rule';
import { judgeTemperature } from './temperature';

export const vapourTemp: CutRule<'vapour-temp'> = {
  test: 'vapour-temp',
  needs: () => [['vapour-temp'], needsPressure],
  threshold: (test) => ({ tempC: test.atLeastC, line: 'vapour' }),
  judge: (test, context) =>
    judgeTemperature(
      context,
      context.estimate.vapourTempC,
      'vapour-temp',
      test.atLeastC,
      test.deadbandK,
      'vapour-temp',
    ),
};
