import { type Problem, problem } from '../../lib/problems';
import {
  type BottlingPlan,
  planBottling,
  type Reduction,
  reduce,
  type SpiritAmount,
  wineGallons,
} from '../../lib/proofing';
import { fail, flagOf, type Io, textOf } from './command';
import { holdingRows, holdings } from './proof-holdings';
import type { GivenStrength } from './quantity';
import { type Call, measuredOption, strengthOption, takeStrength, textsOf } from './quantity-options';
import type { Spirit } from './quantity-spirit';
import {
  abvOf,
  alignRows,
  caution,
  fixed,
  plainStrength,
  present,
  scaleKg,
  showAbv,
  showGiven,
  showMass,
  showTemp,
  showVolume,
} from './show-figures';

/** What a spirit holds and, with --to, the water that reduces it. */
export function reduceSpirit(call: Call, spirit: Spirit, amount: SpiritAmount, io: Io): number {
  const json = flagOf(call.options, 'json');
  const held = holdings(amount, spirit.strength, spirit.tempC);
  const wish = takeWish(call, spirit);
  if (call.problems.length > 0) return fail(io, call.problems, json);
  const plainSpirit = { tempC: spirit.tempC, strength: plainStrength(spirit.strength.massFraction), ...held };
  const rows = [...holdingRows(call, spirit, held)];
  if (wish.to === null) {
    const filled = bottleRows(call, held.volume20L, wish.bottleL);
    const text = alignRows([...rows, ...filled.rows]);
    return present(io, json, call, { spirit: plainSpirit, ...filled.plain }, text);
  }
  const reduced = reduce({
    amount,
    strengthAbv: abvOf(spirit.strength.massFraction),
    targetAbv: abvOf(wish.to.massFraction),
    restsAbv: wish.rests.map((rest) => abvOf(rest.massFraction)),
    waterTempC: wish.waterTempC,
  });
  if (reduced.kind === 'bad') return fail(io, reduced.problems, json);
  call.cautions.push(...asTyped(call, reduced.warnings));
  call.cautions.push(
    caution(
      '0.1 % vol in the spirit moves the water by about 0.25 %',
      'Hold back the last of it; measure after a rest at 20 °C',
    ),
  );
  const filled = bottleRows(call, reduced.value.volume20L, wish.bottleL);
  const plain = {
    spirit: plainSpirit,
    reduction: plainReduction(reduced.value, wish.to, wish.waterTempC),
    ...filled.plain,
    ...(wish.finishedL === null
      ? {}
      : { wantedL: wish.finishedL, leftOverL: reduced.value.volume20L - wish.finishedL }),
  };
  rows.push(...reductionRows(call, reduced.value, wish.to, wish.waterTempC), ...filled.rows);
  if (wish.finishedL !== null) rows.push(wantedRow(call, reduced.value.volume20L, wish.finishedL));
  return present(io, json, call, plain, alignRows(rows));
}

/** Cautions of the library under the option they came from. */
function asTyped(call: Call, found: readonly Problem[]): readonly Problem[] {
  return found.map((one) => ({ ...one, path: '--to', value: `"${textOf(call.options, 'to') ?? ''}"` }));
}

interface Wish {
  readonly to: GivenStrength | null;
  readonly rests: readonly GivenStrength[];
  readonly waterTempC: number;
  readonly bottleL: number | null;
  /** Volume wanted in all, at 20 °C. */
  readonly finishedL: number | null;
}

const waterBounds = { least: 0, most: 40, message: 'water is liquid and in range from 0 to 40 °C' };
const bottleBounds = { least: 0.01, most: 1000, message: 'is no bottle' };
const volumeBounds = { least: 0.001, most: 1e7, message: 'is no amount' };

function takeWish(call: Call, spirit: Spirit): Wish {
  const to = strengthOption(call, 'to');
  const texts = textsOf(call.options, 'rest');
  const rests = texts.map((text) => takeStrength(call, '--rest', text));
  const waterTempC = measuredOption(call, 'water-temp', 'temperature', waterBounds) ?? 20;
  const bottleL = measuredOption(call, 'bottle', 'volume', bottleBounds);
  const wantedL = measuredOption(call, 'wanted', 'volume', volumeBounds);
  const count = takeCount(call);
  if (to !== null) checkFalling(call, spirit, [...rests, to], [...texts, textOf(call.options, 'to') ?? '']);
  const finishedL = wantedL ?? (count === null || bottleL === null ? null : count * bottleL);
  return { to, rests: rests.filter((rest) => rest !== null), waterTempC, bottleL, finishedL };
}

function takeCount(call: Call): number | null {
  const text = textOf(call.options, 'bottles');
  if (text === undefined) return null;
  if (/^\d{1,7}$/.test(text) && Number(text) > 0) return Number(text);
  call.problems.push(problem('--bottles', text, 'is no number of bottles', 'Give a whole number above 0'));
  return null;
}

function checkFalling(
  call: Call,
  spirit: Spirit,
  strengths: readonly (GivenStrength | null)[],
  texts: readonly string[],
): void {
  let before = spirit.strength.massFraction;
  for (const [index, strength] of strengths.entries()) {
    if (strength === null) continue;
    const field = index === strengths.length - 1 ? '--to' : '--rest';
    if (strength.massFraction > before) {
      const message = `is stronger than the ${showAbv(abvOf(before))} before it`;
      const remedy = 'Water only makes weaker; to make stronger see middlecut blend --to with --with';
      call.problems.push(problem(field, texts[index], message, remedy));
    } else if (strength.massFraction === 0) {
      call.problems.push(problem(field, texts[index], 'no amount of water reaches 0', 'Give a strength above 0'));
    }
    before = strength.massFraction;
  }
}

function plainReduction(reduced: Reduction, to: GivenStrength, waterTempC: number) {
  return {
    target: plainStrength(to.massFraction),
    waterTempC,
    waterKg: reduced.waterKg,
    waterWeightInAirKg: scaleKg(reduced.waterKg, 0),
    waterL: reduced.waterL,
    massKg: reduced.massKg,
    weightInAirKg: scaleKg(reduced.massKg, to.massFraction),
    volume20L: reduced.volume20L,
    wineGallonsUs: wineGallonsOf(reduced, to),
    contractionL: reduced.contractionL,
    steps: reduced.steps.map((step) => ({ ...step, waterWeightInAirKg: scaleKg(step.waterKg, 0) })),
  };
}

function wineGallonsOf(reduced: Reduction, to: GivenStrength): number {
  return wineGallons({ massKg: reduced.massKg, ethanolKg: reduced.massKg * to.massFraction });
}

function reductionRows(call: Call, reduced: Reduction, to: GivenStrength, waterTempC: number): readonly string[][] {
  const water = (kg: number, litres: number) =>
    `${showMass(call, scaleKg(kg, 0))} on the scale or ${showVolume(call, litres)} at ${showTemp(call, waterTempC, 1)}`;
  const onScale = showMass(call, scaleKg(reduced.massKg, to.massFraction));
  const steps = reduced.steps.map((step, index) => [
    index === 0 ? 'add water' : 'then water',
    `${water(step.waterKg, step.waterL)}, to ${showAbv(step.toAbv)}: ${showVolume(call, step.volume20L)}`,
  ]);
  return [
    ...(reduced.steps.length > 1 ? steps : []),
    [reduced.steps.length > 1 ? 'water in all' : 'add water', water(reduced.waterKg, reduced.waterL)],
    ['gives', `${showVolume(call, reduced.volume20L)} at 20 °C of ${showGiven(to)}, ${onScale} on the scale`],
    ...(call.beside.has('volume') ? [['', `${fixed(wineGallonsOf(reduced, to), 3)} wine gallons (60 °F)`]] : []),
    ['contraction', showVolume(call, reduced.contractionL)],
  ];
}

function bottleRows(call: Call, volume20L: number, bottleL: number | null) {
  if (bottleL === null) return { rows: [], plain: {} };
  // A thousandth of a bottle more or less is no empty bottle.
  const bottles = Math.floor(volume20L / bottleL + 1e-3);
  const remainderL = Math.max(0, volume20L - bottles * bottleL);
  const rows = [['bottles', `${bottles} of ${showVolume(call, bottleL)}, ${showVolume(call, remainderL)} left over`]];
  return { rows, plain: { bottles, bottleL, remainderL } };
}

function wantedRow(call: Call, volume20L: number, finishedL: number): string[] {
  const differenceL = volume20L - finishedL;
  const words = differenceL >= 0 ? 'more than' : 'short of';
  return ['wanted', `${showVolume(call, Math.abs(differenceL))} ${words} the ${showVolume(call, finishedL)}`];
}

/** Spirit and water for a wanted amount at bottling strength. */
export function planBottles(call: Call, spirit: Spirit, io: Io): number {
  const json = flagOf(call.options, 'json');
  const wish = takeWish(call, spirit);
  if (call.problems.length > 0 || wish.to === null || wish.finishedL === null) return fail(io, call.problems, json);
  const toAbv = abvOf(wish.to.massFraction);
  const planned = planBottling(wish.finishedL, toAbv, abvOf(spirit.strength.massFraction));
  if (planned.kind === 'bad') return fail(io, planned.problems, json);
  const plan: BottlingPlan = planned.value;
  const { massFraction } = spirit.strength;
  const amount = { kind: 'mass', massKg: plan.spiritKg } as const;
  const reduced = reduce({ amount, strengthAbv: abvOf(massFraction), targetAbv: toAbv });
  if (reduced.kind === 'ok') call.cautions.push(...asTyped(call, reduced.warnings));
  const plain = {
    ...plan,
    wantedL: wish.finishedL,
    target: plainStrength(wish.to.massFraction),
    spirit: plainStrength(massFraction),
    spiritWeightInAirKg: scaleKg(plan.spiritKg, massFraction),
    waterWeightInAirKg: scaleKg(plan.waterKg, 0),
  };
  const text = alignRows([
    ['wanted', `${showVolume(call, wish.finishedL)} at 20 °C of ${showGiven(wish.to)}`],
    [
      'spirit',
      `${showVolume(call, plan.spirit20L)} at 20 °C of ${showGiven(spirit.strength)}, ${showMass(call, plain.spiritWeightInAirKg)} on the scale`,
    ],
    ['water', `${showVolume(call, plan.water20L)} at 20 °C, ${showMass(call, plain.waterWeightInAirKg)} on the scale`],
  ]);
  return present(io, json, call, plain, text);
}
