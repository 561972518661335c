import { testsOf } from '../engine/condition';
import type { Reason } from '../engine/types';
import { type Checked, problem } from '../problems';
import { checkRecipe } from '../recipe/check';
import { type Difference, diffRecipes } from '../recipe/diff';
import type { Condition, NotBefore, Recipe } from '../recipe/schema';

/** A still with a charge in it, as far as carrying a recipe over needs it. */
export interface ChargedStill {
  readonly name: string;
  readonly kind: 'pot' | 'column';
  readonly chargeL: number;
  readonly chargeVolPercent: number;
  readonly heaterW: number | null;
  readonly holdUpL: number;
  /** Uncertainty of the vapour probe, its calibration counted in [K]; null where unknown. */
  readonly probeK: number | null;
}

/** A recipe on another still, with what was changed and what to think of. */
export interface CarriedOver {
  readonly recipe: Recipe;
  /** By what volumes were multiplied: alcohol charged here over alcohol charged there. */
  readonly volumeFactor: number;
  /** By what times were multiplied: charge over heat; null where a heat is not known. */
  readonly timeFactor: number | null;
  readonly changes: readonly Difference[];
  readonly carries: readonly Reason[];
  readonly doesNotCarry: readonly Reason[];
}

const round = (value: number) => Number(value.toPrecision(6));

function scaleCondition(condition: Condition, volumes: number, times: number | null): Condition {
  if ('anyOf' in condition) return { anyOf: condition.anyOf.map((part) => scaleCondition(part, volumes, times)) };
  if ('allOf' in condition) return { allOf: condition.allOf.map((part) => scaleCondition(part, volumes, times)) };
  if (condition.test === 'volume') return { ...condition, atLeastL: round(condition.atLeastL * volumes) };
  if (condition.test === 'time' && times !== null) return { ...condition, atLeastS: round(condition.atLeastS * times) };
  return condition;
}

function scaleGuard(guard: NotBefore, volumes: number, times: number | null): NotBefore {
  const { volumeL, timeS, ...share } = guard;
  return {
    ...share,
    ...(volumeL === undefined ? {} : { volumeL: round(volumeL * volumes) }),
    ...(timeS === undefined ? {} : { timeS: times === null ? timeS : round(timeS * times) }),
  };
}

function scaleRecipe(recipe: Recipe, volumes: number, times: number | null): unknown {
  const { surgeGuard, ...rest } = recipe;
  return {
    ...rest,
    phases: recipe.phases.map(({ maxS, notBefore, ...step }) => ({
      ...step,
      endsWhen: scaleCondition(step.endsWhen, volumes, times),
      ...(notBefore === undefined ? {} : { notBefore: scaleGuard(notBefore, volumes, times) }),
      // A longest time that cannot be scaled would only raise false alarms.
      ...(maxS === undefined || times === null ? {} : { maxS: Math.round(maxS * times) }),
    })),
    ...(surgeGuard === undefined ? {} : { surgeGuard: { ...surgeGuard, purgeL: round(surgeGuard.purgeL * volumes) } }),
    variants: Object.fromEntries(
      Object.entries(recipe.variants).map(([name, variant]) => [
        name,
        {
          ...variant,
          cuts: Object.fromEntries(
            Object.entries(variant.cuts).map(([phase, cut]) => [
              phase,
              {
                ...cut,
                ...(cut.endsWhen === undefined ? {} : { endsWhen: scaleCondition(cut.endsWhen, volumes, times) }),
                ...(cut.notBefore === undefined ? {} : { notBefore: scaleGuard(cut.notBefore, volumes, times) }),
              },
            ]),
          ),
        },
      ]),
    ),
  };
}

/** What a recipe rests on that goes with it to any still, by the tests it uses. */
function carriesOver(recipe: Recipe): Reason[] {
  const tests = new Set(recipe.phases.flatMap((step) => [...testsOf(step.endsWhen)].map(({ test }) => test.test)));
  const found: Reason[] = [];
  if (tests.has('alcohol-share')) found.push({ code: 'compare.carries-share', numbers: {} });
  if (tests.has('vapour-temp') || tests.has('boiler-temp')) {
    found.push({ code: 'compare.carries-temperature', numbers: { referenceHPa: recipe.referencePressureHPa } });
  }
  if (tests.has('strength')) found.push({ code: 'compare.carries-strength', numbers: {} });
  if (tests.has('volume')) found.push({ code: 'compare.carries-volume', numbers: {} });
  return found;
}

/** Common practice: heat per litre further apart than this makes another run of it. */
const sameHeatPercent = 3;

function losesOver(from: ChargedStill, to: ChargedStill): Reason[] {
  const found: Reason[] = [{ code: 'compare.loses-reflux', numbers: { from: from.name, to: to.name } }];
  found.push({ code: 'compare.loses-probe-place', numbers: {} });
  if (from.heaterW === null || to.heaterW === null) found.push({ code: 'compare.loses-heat-unknown', numbers: {} });
  else {
    const apartPercent = 100 * (to.heaterW / to.chargeL / (from.heaterW / from.chargeL) - 1);
    if (Math.abs(apartPercent) > sameHeatPercent) {
      const wantedW = (from.heaterW / from.chargeL) * to.chargeL;
      found.push({
        code: `compare.loses-heat-${apartPercent > 0 ? 'more' : 'less'}`,
        numbers: { byPercent: Math.abs(apartPercent), wantedW },
      });
    }
  }
  const apart = to.chargeVolPercent - from.chargeVolPercent;
  if (Math.abs(apart) > 0.3) {
    found.push({
      code: `compare.loses-charge-${apart > 0 ? 'stronger' : 'weaker'}`,
      numbers: { byVolPercent: Math.abs(apart) },
    });
  }
  if (to.probeK === null) found.push({ code: 'compare.loses-probe-unknown', numbers: {} });
  else if (to.probeK > 0.15) found.push({ code: 'compare.loses-probe-blunt', numbers: { probeK: to.probeK } });
  if (from.holdUpL > 0 && to.holdUpL === 0)
    found.push({ code: 'compare.loses-hold-up', numbers: { holdUpL: from.holdUpL } });
  return found;
}

/**
 * Carries a recipe to another still and charge: volumes go with the alcohol charged, times with charge over heat, temperatures and shares as they are;
 * and says plainly what does not carry over.
 *
 * @param recipe the recipe
 * @param from the still and charge it was developed on
 * @param to the still and charge it is to run on
 * @returns the recipe for there with what was changed; or why it cannot be carried
 */
export function carryToStill(recipe: Recipe, from: ChargedStill, to: ChargedStill): Checked<CarriedOver> {
  if (from.kind !== to.kind) {
    const message = `was developed on a ${from.kind}, and "${to.name}" is a ${to.kind}: their temperatures mean different things`;
    return {
      kind: 'bad',
      problems: [problem('stillKind', recipe.stillKind, message, 'Make a development run on that still')],
    };
  }
  const alcohol = (still: ChargedStill) => still.chargeL * still.chargeVolPercent;
  const volumeFactor = alcohol(to) / alcohol(from);
  if (!(volumeFactor > 0 && Number.isFinite(volumeFactor))) {
    return {
      kind: 'bad',
      problems: [problem('charge', volumeFactor, 'has no alcohol', 'Give volume and strength of both charges')],
    };
  }
  const timeFactor =
    from.heaterW === null || to.heaterW === null ? null : to.chargeL / from.chargeL / (to.heaterW / from.heaterW);
  const checked = checkRecipe(scaleRecipe(recipe, volumeFactor, timeFactor));
  if (checked.kind === 'bad') return checked;
  const value: CarriedOver = {
    recipe: checked.value,
    volumeFactor,
    timeFactor,
    changes: diffRecipes(recipe, checked.value),
    carries: carriesOver(recipe),
    doesNotCarry: losesOver(from, to),
  };
  return { kind: 'ok', value, warnings: checked.warnings };
}
