import { type CutRule, needsPressure } from './rule';
import { judgeTemperature } from './temperature';

export const boilerTemp: CutRule<'boiler-temp'> = {
  test: 'boiler-temp',
  needs: () => [['boiler-temp'], needsPressure],
  threshold: (test) => ({ tempC: test.atLeastC, line: 'boiler' }),
  judge: (test, context) =>
    judgeTemperature(
      context,
      context.estimate.boilerTempC,
      'boiler-temp',
      test.atLeastC,
      test.deadbandK,
      'boiler-temp',
    ),
};
