import { alcoholSharePercent } from '../../lib/cuts/alcohol-share';
import type { Plant, Run } from '../../lib/engine/types';
import { type Fraction, fractions } from '../../lib/recipe/schema';

export interface FractionSummary {
  readonly fraction: Fraction;
  readonly volumeL: number;
  readonly strengthAbv: number | null;
  readonly alcoholL: number;
  readonly sharePercent: number | null;
}

export interface RunSummary {
  readonly state: Run['state'];
  readonly lastedS: number;
  readonly volumeFrom: string;
  readonly fractions: readonly FractionSummary[];
  readonly totalL: number;
  readonly totalAlcoholL: number;
  readonly chargeAlcoholL: number | null;
  /** Only stripping and spirit runs give a product. */
  readonly potable: boolean;
}

/** What came of a run, fraction by fraction: as measured, or as estimated where nothing measured it. */
export function summarise(plant: Plant, run: Run): RunSummary {
  const { produced } = run.estimate;
  const kind = plant.recipe?.kind;
  return {
    state: run.state,
    lastedS: run.startedAtS === null ? 0 : run.now - run.startedAtS,
    volumeFrom: produced.source,
    fractions: fractions.map((fraction) => {
      const { volumeL, alcoholL } = produced.byFraction[fraction];
      const strengthAbv = volumeL > 0 ? alcoholL / volumeL : null;
      return { fraction, volumeL, strengthAbv, alcoholL, sharePercent: alcoholSharePercent(plant.charge, alcoholL) };
    }),
    totalL: produced.volumeL,
    totalAlcoholL: produced.alcoholL,
    chargeAlcoholL: plant.charge === null ? null : plant.charge.volumeL * plant.charge.strengthAbv,
    potable: kind === 'spirit' || kind === 'stripping',
  };
}
