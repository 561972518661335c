import type { CutTest } from '../recipe/schema';
import type { PointKind, Still } from '../still/schema';
import { alcoholShare } from './alcohol-share';
import { boilerTemp } from './boiler-temp';
import { order } from './order';
import type { CutRule, TestContext, Verdict } from './rule';
import { settled } from './settled';
import { strength } from './strength';
import { time } from './time';
import { vapourRise } from './vapour-rise';
import { vapourTemp } from './vapour-temp';
import { volume } from './volume';

/** Every kind of test a recipe can use: one file each. */
export const cutRules = {
  'vapour-temp': vapourTemp,
  'vapour-rise': vapourRise,
  strength,
  volume,
  'alcohol-share': alcoholShare,
  'boiler-temp': boilerTemp,
  settled,
  time,
  order,
} as const satisfies { [K in CutTest['test']]: CutRule<K> };

/** The rule of a test; one cast, because the table pairs each name with its own rule. */
function ruleOf(test: CutTest): CutRule<CutTest['test']> {
  return cutRules[test.test] as unknown as CutRule<CutTest['test']>;
}

/** @param path where the test stands in its condition: what the plan worked out for it is kept by that */
export function judgeTest(test: CutTest, context: Omit<TestContext, 'curve' | 'deadbandK'>, path: string): Verdict {
  const { curves, deadbandsK } = context.planned;
  return ruleOf(test).judge(test, { ...context, curve: curves[path] ?? null, deadbandK: deadbandsK?.[path] });
}

export function needsOf(test: CutTest, still: Still): readonly (readonly PointKind[])[] {
  return ruleOf(test).needs(test, still);
}

export function thresholdOf(
  test: CutTest,
  referenceHPa: number,
): { readonly tempC: number; readonly line: 'vapour' | 'boiler' } | null {
  return ruleOf(test).threshold?.(test, referenceHPa) ?? null;
}

export function deadbandOf(test: CutTest): number | null {
  return ruleOf(test).deadbandK?.(test) ?? null;
}

export type { CutRule, TestContext, Verdict };
