import { deadbandOf, needsOf, thresholdOf } from '../cuts';
import { compileShift, type ShiftCurve } from '../physics';
import { type Checked, type Problem, problem, warning } from '../problems';
import { testPath } from '../recipe/check';
import type { Recipe, Step } from '../recipe/schema';
import { asVariant } from '../recipe/variant';
import type { PointKind, Still } from '../still/schema';
import { testsOf } from './condition';
import { isFraction } from './course';
import type { Charge, PlannedStep, Plant } from './types';

/** The still alone: watched, with nothing to run. */
export function watchPlant(still: Still): Plant {
  return { still, recipe: null, variant: null, charge: null, plan: [] };
}

/**
 * Puts still, recipe, variant and charge together for a run: everything the recipe needs must be there, and every
 * threshold becomes a curve over air pressure. All problems at once.
 */
export function compilePlant(
  still: Still,
  recipe: Recipe,
  variant: string | null,
  charge: Charge | null,
): Checked<Plant> {
  const chosen = asVariant(recipe, variant);
  if (chosen === null) {
    const names = Object.keys(recipe.variants).join(', ') || '(this recipe has none)';
    return {
      kind: 'bad',
      problems: [problem('variant', variant, 'is no variant of this recipe', `Use one of ${names}`)],
    };
  }
  const found = [
    ...kinds(still, chosen),
    ...chosen.phases.flatMap((step, index) => fits(still, step, index, charge)),
    ...chargeFits(still, charge),
  ];
  if (found.some((one) => one.severity === 'error')) return { kind: 'bad', problems: found };
  const plan = chosen.phases.map((step) => planStep(chosen, step));
  return { kind: 'ok', value: { still, recipe: chosen, variant, charge, plan }, warnings: found };
}

function planStep(recipe: Recipe, step: Step): PlannedStep {
  const curves: Record<string, ShiftCurve> = {};
  const deadbandsK: Record<string, number> = {};
  let settledOverS = 0;
  for (const { path, test } of testsOf(step.endsWhen)) {
    const threshold = thresholdOf(test, recipe.referencePressureHPa);
    if (threshold !== null) curves[path] = compileShift(threshold.tempC, recipe.referencePressureHPa, threshold.line);
    const deadbandK = deadbandOf(test);
    if (deadbandK !== null) deadbandsK[path] = deadbandK;
    if (test.test === 'settled') settledOverS = Math.max(settledOverS, test.overS);
  }
  const { vapour } = step.plausible ?? {};
  const curve = (tempC: number) => compileShift(tempC, recipe.referencePressureHPa, 'vapour');
  const window = vapour === undefined ? null : { from: curve(vapour.fromC), to: curve(vapour.toC) };
  return { step, curves, deadbandsK, receiver: step.receiver ?? null, settledOverS, window };
}

function kinds(still: Still, recipe: Recipe): Problem[] {
  return recipe.stillKind === still.kind
    ? []
    : [
        problem(
          'stillKind',
          recipe.stillKind,
          `does not fit the ${still.kind} still "${still.id}"`,
          'Use a recipe developed for this kind of still',
        ),
      ];
}

function fits(still: Still, step: Step, index: number, charge: Charge | null): Problem[] {
  const base = `phases.${index}`;
  return [...tests(still, step, base, charge), ...receivers(still, step, base), ...drives(still, step, base)];
}

function tests(still: Still, step: Step, base: string, charge: Charge | null): Problem[] {
  const found: Problem[] = [];
  const has = (kind: PointKind) =>
    Object.values(still.points).some((point) => point.kind === kind) ||
    (kind === 'air-pressure' && still.assumeAltitudePressure);
  for (const { path, test } of testsOf(step.endsWhen)) {
    const at = testPath(step.endsWhen, `${base}.endsWhen`, path);
    for (const any of needsOf(test, still)) {
      if (any.some(has)) continue;
      const remedy = any.includes('air-pressure')
        ? 'Add a barometer to the still, or state altitudeM and assumeAltitudePressure on purpose'
        : `Add a point of kind ${any.join(' or ')} to the still, or end the phase by something else`;
      found.push(problem(at, test.test, `needs ${any.join(' or ')}, which still "${still.id}" does not have`, remedy));
    }
    if (test.test === 'alcohol-share' && charge === null) {
      found.push(
        problem(
          at,
          test.atLeastPercent,
          'needs to know the charge',
          'Give volume and strength of the charge at the start',
        ),
      );
    }
    const probe = Object.values(still.points).find((point) => point.kind === 'vapour-temp');
    if (test.test === 'vapour-rise' && probe?.resolution !== undefined && test.byK < 3 * probe.resolution) {
      found.push(
        problem(
          `${at}.byK`,
          test.byK,
          `is less than three steps of the probe (${probe.resolution} K)`,
          `Use at least ${3 * probe.resolution} K or a finer probe`,
        ),
      );
    }
  }
  const guard = step.notBefore;
  if (guard?.sharePercent !== undefined && charge === null) {
    found.push(
      problem(
        `${base}.notBefore.sharePercent`,
        guard.sharePercent,
        'needs to know the charge',
        'Give volume and strength of the charge at the start',
      ),
    );
  }
  return found;
}

function receivers(still: Still, step: Step, base: string): Problem[] {
  const names = Object.keys(still.receivers);
  if (names.length === 0) return [];
  if (step.receiver !== undefined) {
    const receiver = still.receivers[step.receiver];
    if (receiver === undefined) {
      return [
        problem(
          `${base}.receiver`,
          step.receiver,
          `is no receiver of still "${still.id}"`,
          `Use one of ${names.join(', ')}`,
        ),
      ];
    }
    if (isFraction(step.phase) && !receiver.takes.includes(step.phase)) {
      return [
        problem(
          `${base}.receiver`,
          step.receiver,
          `does not take ${step.phase}`,
          `Use a receiver that takes ${step.phase}`,
        ),
      ];
    }
    return [];
  }
  const taken =
    !isFraction(step.phase) ||
    Object.values(still.receivers).some((receiver) => receiver.takes.includes(step.phase as 'hearts'));
  return taken
    ? []
    : [
        problem(
          `${base}.receiver`,
          undefined,
          `no receiver of still "${still.id}" takes ${step.phase}`,
          `Name one of ${names.join(', ')}, or let one take ${step.phase}`,
        ),
      ];
}

function drives(still: Still, step: Step, base: string): Problem[] {
  const found: Problem[] = [];
  for (const [id, drive] of Object.entries(still.drives)) {
    const share = drive.kind === 'heat' ? step.heatShare : drive.kind === 'take-off' ? step.takeOffShare : 1;
    const field = drive.kind === 'heat' ? 'heatShare' : 'takeOffShare';
    if (
      (drive.kind === 'heat' || drive.kind === 'take-off') &&
      drive.control === 'on-off' &&
      share !== 0 &&
      share !== 1
    ) {
      found.push(
        problem(
          `${base}.${field}`,
          share,
          `cannot be set on "${id}", which is on or off`,
          'Use 0 or 1, or a modulating drive',
        ),
      );
    }
  }
  const boils = step.phase !== 'heat-up';
  if (boils && step.coolantShare === 0 && step.heatShare > 0) {
    found.push(
      problem(
        `${base}.coolantShare`,
        0,
        'leaves the condenser without coolant while the still boils',
        'Use a share above 0',
      ),
    );
  }
  const takeOff = Object.values(still.drives).some((drive) => drive.kind === 'take-off');
  if (step.takeOffShare !== 1 && !takeOff) {
    found.push(
      warning(
        `${base}.takeOffShare`,
        step.takeOffShare,
        `has no effect: still "${still.id}" has no take-off drive`,
        'Set the take-off by hand',
      ),
    );
  }
  return found;
}

/** Charge strength: 25 to 32 % vol is usual, above 35 to be confirmed, above 40 refused (flash point 26 °C). */
function chargeFits(still: Still, charge: Charge | null): Problem[] {
  if (charge === null) return [];
  const found: Problem[] = [];
  const percent = Number((charge.strengthAbv * 100).toFixed(2));
  if (!(charge.volumeL > 0))
    found.push(problem('charge.volumeL', charge.volumeL, 'is no volume', 'Give litres above 0'));
  if (charge.volumeL > still.boilerVolumeL) {
    found.push(
      problem(
        'charge.volumeL',
        charge.volumeL,
        `is more than the boiler holds (${still.boilerVolumeL} L)`,
        'Charge less',
      ),
    );
  }
  if (charge.volumeL <= still.heelL) {
    found.push(
      problem(
        'charge.volumeL',
        charge.volumeL,
        `does not cover the heel of ${still.heelL} L`,
        'Charge more: the element must stay covered',
      ),
    );
  }
  if (!(charge.strengthAbv >= 0) || percent > 40) {
    found.push(
      problem(
        'charge.strength',
        `${percent} % vol`,
        'is too strong to charge a still with (above 40 % vol it can burn at room temperature)',
        'Dilute it to 25 to 32 % vol',
      ),
    );
  } else if (percent > 35) {
    found.push(
      warning(
        'charge.strength',
        `${percent} % vol`,
        'is stronger than usual (25 to 32 % vol)',
        'Dilute it, or be sure that this is meant',
      ),
    );
  }
  return found;
}
