import { proofFromMassFraction } from '../../lib/physics';
import { problem } from '../../lib/problems';
import {
  type Adjustment,
  adjustTo,
  type Blend,
  type BlendPart,
  blend as blendParts,
  type SpiritAmount,
  wineGallons,
} from '../../lib/proofing';
import { type Command, fail, flagOf, type Io, misunderstood, textOf } from './command';
import type { GivenStrength } from './quantity';
import { type Call, readCall, strengthOption, textsOf } from './quantity-options';
import { type Spirit, takeSpirit } from './quantity-spirit';
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

const help = `middlecut blend --part "AMOUNT STRENGTH [T]" --part … [--to STRENGTH [--with STRENGTH]]

What parts give together: jars, casks, feints, water, any number of them, each measured at its own temperature or
weighed. Masses of ethanol and water are added, so contraction is counted.

  --part "2.1L 68.2%vol 18C"  a part: amount in L, mL, gal (US), or kg, g, lb as a scale shows them; strength in %vol,
                              proof, %mass or %vol60F; temperature of the volume, 20C unless given; "5L water" is water
  --to STRENGTH               how much to add to reach this
  --with STRENGTH             what is added: a stronger spirit or feints; water unless given
  --json                      figures in full, with units in their names

Examples
  $ middlecut blend --part "2.1L 68.2%vol 18C" --part "1.9L 61%vol 21C" --part "2L 55.4%vol"
  part  amount              strength     alcohol   share
  1     2.100 L at 18.0 °C  68.20 % vol  1.435 L  38.8 %
  2     1.900 L at 21.0 °C  61.00 % vol  1.158 L  31.3 %
  3     2.000 L at 20.0 °C  55.40 % vol  1.108 L  29.9 %

  blend         6.000 L at 20 °C of 61.68 % vol, 123.2 US proof, 53.77 % mass
  pure alcohol  3.701 L at 20 °C = 1.946 US proof gallons (1.579 wine gallons)
  weight        5.426 kg on the scale
  contraction   0.002 L
  …

  $ middlecut blend --part "12kg 124proof" --part "5L 40%vol" --to 60%vol --with 80%vol
  part  amount              strength                      alcohol   share
  1     12.00 kg            124.0 US proof (62.05 % vol)  8.242 L  80.5 %
  2     5.000 L at 20.0 °C  40.00 % vol                   2.000 L  19.5 %

  blend         18.26 L at 20 °C of 56.10 % vol, 112.1 US proof, 48.25 % mass
  pure alcohol  10.242 L at 20 °C = 5.386 US proof gallons (4.805 wine gallons)
  weight        16.73 kg on the scale
  contraction   0.025 L
  add           3.500 L at 20 °C of 80.00 % vol, 3.004 kg on the scale
  gives         21.74 L at 20 °C of 60.00 % vol
  …
`;

const spec = {
  part: { type: 'string', multiple: true },
  to: { type: 'string' },
  with: { type: 'string' },
} as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readCall(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'blend', read.message);
  const { call } = read;
  const [stray] = call.options.positionals;
  if (stray !== undefined)
    return misunderstood(io, 'blend', `"${stray}" is left over; write each part in quotes after --part.`);
  const texts = textsOf(call.options, 'part');
  if (texts.length === 0) return misunderstood(io, 'blend', 'give parts, such as --part "2.1L 68.2%vol 18C".');
  if (textOf(call.options, 'with') !== undefined && textOf(call.options, 'to') === undefined)
    return misunderstood(io, 'blend', '--with goes with --to.');
  return blendTexts(call, texts, io);
}

interface Part extends BlendPart {
  readonly amount: SpiritAmount;
  readonly spirit: Spirit;
}

function blendTexts(call: Call, texts: readonly string[], io: Io): number {
  const json = flagOf(call.options, 'json');
  const parts = texts.flatMap((text, index) => takePart(call, `--part ${index + 1}`, text));
  const to = strengthOption(call, 'to');
  const second = strengthOption(call, 'with');
  if (call.problems.length > 0) return fail(io, call.problems, json);
  const blended = blendParts(parts);
  if (blended.kind === 'bad') return fail(io, blended.problems, json);
  const adjusted = to === null ? null : adjust(call, blended.value, to, second);
  if (call.problems.length > 0) return fail(io, call.problems, json);
  call.cautions.push(
    caution(
      'blending warms, and bases by volume hold at their own temperature',
      'Measure the blend after a rest at 20 °C',
    ),
  );
  const added = adjusted === null || to === null ? {} : plainAddition(adjusted, to, second);
  const plain = {
    parts: parts.map((part, index) => plainPart(part, blended.value.alcoholShares[index] ?? 0)),
    blend: plainBlend(blended.value),
    ...added,
  };
  const rows = to === null || adjusted === null ? [] : additionRows(call, adjusted, to, second);
  const text = `${partTable(call, parts, blended.value)}\n${alignRows([...blendRows(call, blended.value), ...rows])}`;
  return present(io, json, call, plain, text);
}

function takePart(call: Call, field: string, text: string): readonly Part[] {
  const spirit = takeSpirit(call, field, text);
  if (spirit === null) return [];
  if (spirit.amount === null) {
    call.problems.push(problem(field, text, 'has no amount', 'Write one, such as 2.1L or 12kg'));
    return [];
  }
  return [{ amount: spirit.amount, strengthAbv: abvOf(spirit.strength.massFraction), spirit }];
}

function adjust(call: Call, blended: Blend, to: GivenStrength, second: GivenStrength | null): Adjustment | null {
  const { massFraction, strengthAbv } = blended.strength;
  const secondFraction = second?.massFraction ?? 0;
  const between = (to.massFraction - massFraction) * (to.massFraction - secondFraction) < 0;
  if (!between && to.massFraction !== massFraction) {
    const other = second === null ? 'water' : `the ${showGiven(second)} to be added`;
    const message = `does not lie between the blend's ${showAbv(strengthAbv)} and ${other}`;
    const remedy =
      second === null ? 'Give --with, what it is to be made stronger with' : 'Give a strength between the two';
    call.problems.push(problem('--to', textOf(call.options, 'to'), message, remedy));
    return null;
  }
  const first: BlendPart = { amount: { kind: 'mass', massKg: blended.massKg }, strengthAbv };
  const adjusted = adjustTo(first, abvOf(secondFraction), abvOf(to.massFraction));
  if (adjusted.kind === 'ok') return adjusted.value;
  call.problems.push(...adjusted.problems);
  return null;
}

function plainPart(part: Part, alcoholShare: number) {
  const { strength, tempC } = part.spirit;
  return { ...part.amount, tempC, strength: plainStrength(strength.massFraction), alcoholShare };
}

function plainBlend(blended: Blend) {
  const { massKg, ethanolKg, volume20L, strength, alcoholL, proofGallons, contractionL } = blended;
  const weightInAirKg = scaleKg(massKg, strength.massFraction);
  return {
    volume20L,
    massKg,
    ethanolKg,
    weightInAirKg,
    strength: plainStrength(strength.massFraction),
    alcoholL,
    proofGallonsUs: proofGallons,
    wineGallonsUs: wineGallons(blended),
    contractionL,
  };
}

function plainAddition(added: Adjustment, to: GivenStrength, second: GivenStrength | null) {
  const secondFraction = second?.massFraction ?? 0;
  return {
    addition: {
      ...added,
      addWeightInAirKg: scaleKg(added.addKg, secondFraction),
      added: plainStrength(secondFraction),
      target: plainStrength(to.massFraction),
    },
  };
}

function partTable(call: Call, parts: readonly Part[], blended: Blend): string {
  const rows = parts.map((part, index) => {
    const { amount } = part;
    const { strength, tempC } = part.spirit;
    const size =
      amount.kind === 'volume'
        ? `${showVolume(call, amount.volumeL)} at ${showTemp(call, tempC, 1)}`
        : showMass(call, scaleKg(amount.massKg, strength.massFraction));
    const share = blended.alcoholShares[index] ?? 0;
    return [
      `${index + 1}`,
      size,
      showGiven(strength),
      `${fixed(share * blended.alcoholL, 3)} L`,
      `${fixed(100 * share, 1)} %`,
    ];
  });
  return alignRows([['part', 'amount', 'strength', 'alcohol', 'share'], ...rows], [3, 4]);
}

function blendRows(call: Call, blended: Blend): readonly string[][] {
  const { massFraction, strengthAbv } = blended.strength;
  const strength = `${showAbv(strengthAbv)}, ${fixed(proofFromMassFraction(massFraction), 1)} US proof, ${fixed(100 * massFraction, 2)} % mass`;
  return [
    ['blend', `${showVolume(call, blended.volume20L)} at 20 °C of ${strength}`],
    [
      'pure alcohol',
      `${fixed(blended.alcoholL, 3)} L at 20 °C = ${fixed(blended.proofGallons, 3)} US proof gallons (${fixed(wineGallons(blended), 3)} wine gallons)`,
    ],
    ['weight', `${showMass(call, scaleKg(blended.massKg, massFraction))} on the scale`],
    ['contraction', showVolume(call, blended.contractionL)],
  ];
}

function additionRows(
  call: Call,
  added: Adjustment,
  to: GivenStrength,
  second: GivenStrength | null,
): readonly string[][] {
  const secondFraction = second?.massFraction ?? 0;
  const what = second === null ? 'water' : showGiven(second);
  return [
    [
      'add',
      `${showVolume(call, added.add20L)} at 20 °C of ${what}, ${showMass(call, scaleKg(added.addKg, secondFraction))} on the scale`,
    ],
    ['gives', `${showVolume(call, added.volume20L)} at 20 °C of ${showGiven(to)}`],
  ];
}

export const blend: Command = { help, run };
