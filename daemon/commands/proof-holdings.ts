import { densityKgM3 } from '../../lib/physics';
import {
  proofGallonsOfEthanol,
  pureAlcoholOfEthanolL,
  type SpiritAmount,
  spiritMass,
  spiritVolumeL,
  weightInAirKg,
  wineGallons,
} from '../../lib/proofing';
import type { GivenStrength } from './quantity';
import type { Call } from './quantity-options';
import type { Spirit } from './quantity-spirit';
import { abvOf, fixed, showGiven, showMass, showTemp, showVolume } from './show-figures';

/** What a spirit holds, whatever it was measured as. */
export function holdings(amount: SpiritAmount, strength: GivenStrength, tempC: number) {
  const strengthAbv = abvOf(strength.massFraction);
  const spirit =
    amount.kind === 'volume'
      ? spiritMass(amount.volumeL, strengthAbv, amount.tempC)
      : { massKg: amount.massKg, ethanolKg: amount.massKg * strength.massFraction };
  return {
    ...spirit,
    weightInAirKg: weightInAirKg(spirit.massKg, densityKgM3(strength.massFraction, tempC)),
    volumeL: spiritVolumeL(spirit, tempC),
    volume20L: spiritVolumeL(spirit, 20),
    alcoholL: pureAlcoholOfEthanolL(spirit.ethanolKg),
    proofGallonsUs: proofGallonsOfEthanol(spirit.ethanolKg),
    wineGallonsUs: wineGallons(spirit),
  };
}

type Holdings = ReturnType<typeof holdings>;

/** Lines that say what a spirit holds. */
export function holdingRows(call: Call, spirit: Spirit, held: Holdings): readonly (readonly string[])[] {
  return [
    [
      'spirit',
      `${showVolume(call, held.volumeL)} at ${showTemp(call, spirit.tempC, 1)} of ${showGiven(spirit.strength)}`,
    ],
    ['at 20 °C', `${showVolume(call, held.volume20L)}, ${showMass(call, held.weightInAirKg)} on the scale`],
    [
      'pure alcohol',
      `${fixed(held.alcoholL, 3)} L at 20 °C = ${fixed(held.proofGallonsUs, 3)} US proof gallons (${fixed(held.wineGallonsUs, 3)} wine gallons)`,
    ],
  ];
}
