import type { Verdict } from '../../lib/jars';
import type { CongenerName } from '../../lib/physics';

/** What is in a jar [mg in a litre of pure alcohol]: the simulator's PREDICTION, which only the simulated tasters know. */
export type Predicted = Readonly<Record<CongenerName, number>>;

/** A simulated taster: how much of what they bear. The distiller never sees these figures, only the verdicts. */
export interface Taster {
  readonly name: string;
  /** Light esters and aldehydes that still pass [mg/L pure alcohol]. */
  readonly bearsHeads: number;
  /** Heavy acids that still pass in a white spirit, and in one that rests in oak [mg/L pure alcohol]. */
  readonly bearsTails: number;
  readonly bearsTailsInOak: number;
}

export const tasters: readonly Taster[] = [
  { name: 'Anna', bearsHeads: 4200, bearsTails: 240, bearsTailsInOak: 275 },
  { name: 'Berta', bearsHeads: 4600, bearsTails: 250, bearsTailsInOak: 290 },
  { name: 'Carl', bearsHeads: 3900, bearsTails: 230, bearsTailsInOak: 262 },
];

export interface Tasted {
  readonly taster: string;
  readonly verdict: Verdict;
  readonly descriptors: readonly string[];
  readonly intensity: number;
}

/** What a taster says of a jar. */
export function taste(taster: Taster, predicted: Predicted): Tasted {
  const light = predicted['ethyl acetate'] + predicted.acetaldehyde;
  const heavy = predicted['acetic acid'];
  const intensity = Math.min(
    5,
    Math.max(1, Math.round(4 * Math.max(light / taster.bearsHeads, heavy / taster.bearsTailsInOak))),
  );
  const say = (verdict: Verdict, ...descriptors: string[]): Tasted => ({
    taster: taster.name,
    verdict,
    descriptors,
    intensity,
  });
  if (light > 1.4 * taster.bearsHeads) return say('out', 'solvent', 'nail varnish');
  if (light > taster.bearsHeads) return say('out', 'pungent');
  if (heavy > taster.bearsTailsInOak) return say('out', 'sweaty', 'sour');
  if (heavy > taster.bearsTails) return say('in-for-oak', 'oily');
  return light > 0.3 * taster.bearsHeads ? say('in', 'fruity', 'pear') : say('in', 'pear', 'sweet');
}

/** Whether most tasters would call what runs now pungent or oily still: the nose at the spout, asked when the engine asks. */
export function smells(predicted: Predicted, of: 'heads' | 'tails', oak: boolean): boolean {
  const votes = tasters.map((taster) => {
    const { verdict } = taste(taster, predicted);
    if (of === 'heads') return predicted['ethyl acetate'] + predicted.acetaldehyde > taster.bearsHeads;
    return verdict === 'out' || (verdict === 'in-for-oak' && !oak);
  });
  return votes.filter((vote) => vote).length > tasters.length / 2;
}
