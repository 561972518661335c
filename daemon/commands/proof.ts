import { type Command, fail, flagOf, type Io, misunderstood, textOf } from './command';
import { planBottles, reduceSpirit } from './proof-reduce';
import { chargeYield } from './proof-yield';
import { type Call, readCall } from './quantity-options';
import { type Spirit, takeSpirit } from './quantity-spirit';

const help = `middlecut proof AMOUNT STRENGTH [T]                         what it holds: pure alcohol, proof gallons, weight
middlecut proof AMOUNT STRENGTH [T] --to STRENGTH           water that brings it there
middlecut proof STRENGTH --to STRENGTH --wanted VOLUME      spirit and water for so much, or --bottles N --bottle SIZE
middlecut proof AMOUNT STRENGTH [T] --until STRENGTH        what a charge should yield

Reduction by mass and by volume, contraction counted. Amounts in L, mL, gal (US), or kg, g, lb as a scale shows them;
strength in %vol, proof, %mass or %vol60F; the temperature is that at which the volume was measured, 20C unless given.

  --to STRENGTH       strength wanted
  --rest STRENGTH     stop there on the way; may be repeated
  --water-temp T      temperature of the water, 20C unless given
  --bottle SIZE       how many bottles of this size it fills at 20 °C
  --bottles N         so many bottles; --wanted VOLUME instead: so much in all
  --until STRENGTH    collect until the spout falls to this strength, without reflux
  --pressure P        air pressure for --until, or --altitude H; 1013.25hPa unless given
  --json              figures in full, with units in their names

Examples
  $ middlecut proof 10L 68.2%vol 18C --to 42%vol --bottle 500mL
  spirit        10.00 L at 18.0 °C of 68.20 % vol
  at 20 °C      10.02 L, 8.906 kg on the scale
  pure alcohol  6.833 L at 20 °C = 3.593 US proof gallons (2.636 wine gallons)
  add water     6.446 kg on the scale or 6.465 L at 20.0 °C
  gives         16.27 L at 20 °C of 42.00 % vol, 15.35 kg on the scale
  contraction   0.215 L
  bottles       32 of 0.500 L, 0.268 L left over
  …

  $ middlecut proof 60L 30%vol --until 20%vol
  charge            60.00 L at 20.0 °C of 30.0 % vol: 18.00 L of pure alcohol
  first drops       76.3 % vol
  until 20.0 % vol  28.60 L of 60.8 % vol: 17.40 L of pure alcohol, 96.7 % of the charge's
  left behind       31.94 L of 1.88 % vol, boiling at 98.1 °C (1013.25 hPa)
  …
`;

const spec = {
  to: { type: 'string' },
  rest: { type: 'string', multiple: true },
  'water-temp': { type: 'string' },
  bottle: { type: 'string' },
  bottles: { type: 'string' },
  wanted: { type: 'string' },
  until: { type: 'string' },
  pressure: { type: 'string' },
  altitude: { type: 'string' },
} as const;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readCall(args, spec);
  if (read.kind === 'bad') return misunderstood(io, 'proof', read.message);
  const { call } = read;
  const words = call.options.positionals.join(' ');
  if (words === '') return misunderstood(io, 'proof', 'give amount and strength, such as 10L 68.2%vol 18C.');
  const clash = clashOf(call);
  if (clash !== null) return misunderstood(io, 'proof', clash);
  const spirit = takeSpirit(call, 'spirit', words);
  if (spirit === null) return fail(io, call.problems, flagOf(call.options, 'json'));
  if (textOf(call.options, 'until') !== undefined) return chargeYield(call, spirit, io);
  return spirit.amount === null ? withoutAmount(call, spirit, io) : reduceSpirit(call, spirit, spirit.amount, io);
}

function withoutAmount(call: Call, spirit: Spirit, io: Io): number {
  const wants = textOf(call.options, 'wanted') ?? textOf(call.options, 'bottles');
  if (wants !== undefined) return planBottles(call, spirit, io);
  return misunderstood(io, 'proof', 'give an amount, or --to with --bottles and --bottle, or with --wanted.');
}

/** Options that don't go together, in words; null where all is well. */
function clashOf(call: Call): string | null {
  const has = (name: string) => call.options.values[name] !== undefined;
  const reducing = ['to', 'rest', 'water-temp', 'bottle', 'bottles', 'wanted'].filter(has);
  if (has('until') && reducing.length > 0) return `--until does not go with --${reducing[0]}.`;
  if (!has('until') && (has('pressure') || has('altitude'))) return '--pressure and --altitude go with --until.';
  if (has('pressure') && has('altitude')) return null;
  const needTo = ['rest', 'water-temp', 'bottles', 'wanted'].filter(has);
  if (!has('to') && needTo.length > 0) return `--${needTo[0]} goes with --to.`;
  if (has('bottles') && !has('bottle')) return '--bottles goes with --bottle, the size of one.';
  return has('bottles') && has('wanted') ? 'give --bottles or --wanted, not both.' : null;
}

export const proof: Command = { help, run };
