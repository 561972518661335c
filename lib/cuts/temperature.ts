import { thresholdAt } from '../physics';
import type { TestContext, Verdict } from './rule';

/**
 * Judges a smoothed temperature against a compiled threshold at the air pressure of the moment.
 *
 * @param tempC smoothed temperature [°C]; null when the probe cannot be trusted
 * @param deadband how far it may fall back without being unmet [K]
 * @param code reason code, `test.<code>`
 */
export function judgeTemperature(
  context: TestContext,
  tempC: number | null,
  point: 'vapour-temp' | 'boiler-temp',
  thresholdAtReferenceC: number,
  deadband: number,
  code: string,
  extra: Readonly<Record<string, number | string>> = {},
): Verdict {
  const { medianHPa, source } = context.estimate.pressure;
  if (medianHPa === null || context.curve === null) {
    return { kind: 'lost', reason: { code: 'lost.air-pressure', numbers: {} } };
  }
  if (tempC === null) return unread(context, point);
  const thresholdHereC = thresholdAt(context.curve, medianHPa);
  return {
    kind: 'known',
    excess: tempC - thresholdHereC,
    deadband,
    thresholdHereC,
    thresholdAtReferenceC,
    reason: {
      code: `test.${code}`,
      numbers: {
        tempC,
        thresholdHereC,
        thresholdAtReferenceC,
        referenceHPa: context.plant.recipe?.referencePressureHPa ?? 1013.25,
        airPressureHPa: medianHPa,
        pressureSource: source,
        ...extra,
      },
    },
  };
}

/** A temperature that is not there: not yet, while its first readings gather; lost, when the probe cannot be trusted. */
export function unread(context: TestContext, kind: 'vapour-temp' | 'boiler-temp'): Verdict {
  const points = context.plant.still.points;
  for (const id in points) {
    if (points[id]?.kind !== kind) continue;
    const seen = context.image[id];
    if (context.estimate.doubted?.includes(id))
      return { kind: 'lost', reason: { code: 'lost.doubted', numbers: { point: id } } };
    if (seen?.quality === 'good')
      return { kind: 'waiting', reason: { code: 'waiting.few-readings', numbers: { point: id } } };
    return { kind: 'lost', reason: { code: 'lost.probe', numbers: { point: id, quality: seen?.quality ?? 'never' } } };
  }
  return { kind: 'lost', reason: { code: 'lost.no-point', numbers: { kind } } };
}
