import type { Event, Order } from '../../lib/engine/types';
import { type CongenerName, congenerNames } from '../../lib/physics';
import { fractionsOf } from '../model';
import type { Moment } from '../rig';
import { type Predicted, smells } from './taster';

const tastesEveryS = 60;
const answersAfterS = 20;

/** What all receivers held together. */
interface Held {
  readonly alcoholL: number;
  readonly mg: Readonly<Record<CongenerName, number>>;
}

function heldBy({ site }: Moment): Held {
  const all = Object.values(fractionsOf(site.state));
  const mgOf = (name: CongenerName) =>
    all.reduce((sum, one) => sum + (one.predictedCongenersMgPerL[name] ?? 0) * one.volumeL, 0);
  return {
    alcoholL: all.reduce((sum, one) => sum + one.alcoholL, 0),
    mg: Object.fromEntries(congenerNames.map((name) => [name, mgOf(name)])) as Record<CongenerName, number>,
  };
}

function between(before: Held, after: Held): Predicted | null {
  const alcoholL = after.alcoholL - before.alcoholL;
  if (alcoholL <= 0) return null;
  const perL = (name: CongenerName) => (after.mg[name] - before.mg[name]) / alcoholL;
  return Object.fromEntries(congenerNames.map((name) => [name, perL(name)])) as Record<CongenerName, number>;
}

/**
 * A person who answers the engine's questions by the nose and leaves all else to it: a cut that is asked is made when what runs has lost its sting (or
 * has begun to smell of tails), and declined before; once declined, the nose looks again every minute.
 *
 * @param oak what this spirit is for
 * @returns hears every moment of the rig; gives orders that fall due
 */
export function createNose(oak: boolean): (moment: Moment) => readonly Order[] {
  let last: { readonly atS: number; readonly held: Held } | null = null;
  let runs: Predicted | null = null;
  let askedS: number | null = null;
  let watched: 'heads' | 'tails' | null = null;
  let given = 0;

  const hear = (event: Event): void => {
    if (event.kind === 'cut-asked') {
      askedS = event.atS;
      watched = event.from === 'hearts' ? 'tails' : 'heads';
    }
    if (event.kind === 'phase') {
      askedS = null;
      watched = null;
    }
  };
  const order = (kind: 'cut' | 'decline-cut'): Order => {
    given += 1;
    return { id: `nose-${given}`, kind, by: 'the nose', from: 'still' };
  };
  const isTime = (of: 'heads' | 'tails'): boolean =>
    runs !== null && (of === 'heads' ? !smells(runs, 'heads', oak) : smells(runs, 'tails', oak));

  return (moment) => {
    for (const event of moment.events) hear(event);
    let tasted = false;
    if (last === null || moment.atS - last.atS >= tastesEveryS) {
      const held = heldBy(moment);
      runs = last === null ? null : between(last.held, held);
      last = { atS: moment.atS, held };
      tasted = true;
    }
    if (watched === null) return [];
    if (askedS !== null) {
      if (moment.atS < askedS + answersAfterS) return [];
      askedS = null;
      return [order(isTime(watched) ? 'cut' : 'decline-cut')];
    }
    return tasted && isTime(watched) ? [order('cut')] : [];
  };
}
