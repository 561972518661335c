import { horizonsS, type Told } from './measure';

/** Cuts of one kind, as they were foretold so long before. */
export interface Figures {
  readonly still: Told['still'];
  readonly test: string;
  readonly horizonS: number;
  readonly cuts: number;
  /** Of these nothing was foretold. */
  readonly untold: number;
  /** Mean and root mean square of foretold less came, and of what was stated [min]. */
  readonly biasMin: number;
  readonly rmsMin: number;
  readonly statedMin: number;
  /** Share of the cuts within once and twice the stated uncertainty [%]. */
  readonly withinOnce: number;
  readonly withinTwice: number;
}

export const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
export const root = (values: readonly number[]) => Math.sqrt(mean(values.map((value) => value * value)));

/** What the cuts of a group come to; figures are NaN where none was foretold. */
export function figuresOf(group: readonly Told[]): Omit<Figures, 'still' | 'test' | 'horizonS'> {
  const told = group.flatMap(({ told: one }) => ('why' in one ? [] : [one]));
  const inside = (times: number) =>
    (100 * told.filter(({ errorS, sigmaS }) => Math.abs(errorS) <= times * sigmaS).length) / told.length;
  return {
    cuts: group.length,
    untold: group.length - told.length,
    biasMin: mean(told.map(({ errorS }) => errorS / 60)),
    rmsMin: root(told.map(({ errorS }) => errorS / 60)),
    statedMin: root(told.map(({ sigmaS }) => sigmaS / 60)),
    withinOnce: inside(1),
    withinTwice: inside(2),
  };
}

/** By still, test and time before the cut; the heat-up by itself, for its test stands for the vapour's coming. */
export function figuresByKind(all: readonly Told[]): readonly Figures[] {
  const nameOf = (one: Told) => (one.phase === 'heat-up' ? 'heat-up' : one.test);
  const keys = [...new Set(all.map((one) => `${one.still} ${nameOf(one)}`))].sort();
  return keys.flatMap((key) =>
    horizonsS.flatMap((horizonS): Figures[] => {
      const group = all.filter((one) => `${one.still} ${nameOf(one)}` === key && one.horizonS === horizonS);
      const [first] = group;
      if (first === undefined) return [];
      return [{ still: first.still, test: nameOf(first), horizonS, ...figuresOf(group) }];
    }),
  );
}
