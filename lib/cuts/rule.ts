import type { Estimate, Image, PlannedStep, Plant, Reason } from '../engine/types';
import type { ProbeLine, ShiftCurve } from '../physics';
import type { CutTest } from '../recipe/schema';
import type { PointKind, Still } from '../still/schema';

/** What a test is judged by at one scan. */
export interface TestContext {
  readonly plant: Plant;
  readonly planned: PlannedStep;
  readonly estimate: Estimate;
  readonly image: Image;
  readonly now: number;
  readonly phaseSinceS: number;
  readonly phaseSinceL: number;
  /** The vapour front of the heat-up is past the probe. */
  readonly frontPassed: boolean;
  readonly curve: ShiftCurve | null;
  /** The test's deadband as a temperature, where it was worked out beforehand [K]. */
  readonly deadbandK: number | undefined;
}

/**
 * How far a test is past its threshold. `excess` is at least 0 when met, in the unit of the test; `lost` means that the
 * probe it needs cannot be trusted now, `waiting` that it cannot be told yet.
 */
export type Verdict =
  | {
      readonly kind: 'known';
      readonly excess: number;
      readonly deadband: number;
      readonly reason: Reason;
      readonly thresholdHereC?: number;
      readonly thresholdAtReferenceC?: number;
    }
  | { readonly kind: 'waiting' | 'lost'; readonly reason: Reason };

export type TestOf<K extends CutTest['test']> = Extract<CutTest, { test: K }>;

/** One kind of test: one file, one line in the index. */
export interface CutRule<K extends CutTest['test']> {
  readonly test: K;
  /** Point kinds without which the test cannot be judged on this still; any one of an inner list will do. */
  needs(test: TestOf<K>, still: Still): readonly (readonly PointKind[])[];
  /** The temperature the test stands for at the reference pressure, where it stands for one. */
  threshold?(test: TestOf<K>, referenceHPa: number): { readonly tempC: number; readonly line: ProbeLine } | null;
  /** Its deadband as a temperature, where the test is written in another unit [K]. */
  deadbandK?(test: TestOf<K>): number | null;
  judge(test: TestOf<K>, context: TestContext): Verdict;
}

export const needsPressure: readonly PointKind[] = ['air-pressure'];
/** Anything that tells how much came over; the heat put in will do, as an estimate from the vapour. */
export function needsVolume(still: Still): readonly PointKind[] {
  const heated = Object.values(still.drives).some((drive) => drive.kind === 'heat');
  return [
    'collected-volume',
    'receiver-volume',
    'product-flow',
    'heat-power',
    ...(heated ? (['vapour-temp'] as const) : []),
  ];
}
