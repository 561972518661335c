import type { Event } from '../../lib/engine/types';
import { commandedHeat, type View } from './case';
import { promisedS } from './catalogue';
import type { Trial } from './draw';
import type { Outcome } from './run-trial';

/** Grace on top of the stated time: a reading's own period and the scan that sees it [s]. */
const graceS = 6;

/** The true vapour may be this much short of a cut: lag, offset and the last digit of a probe [K]. */
const cutWithinK = 1;

/** What was seen of a trouble, and when. */
export interface Sight {
  readonly isSettled: boolean;
  look(view: View, events: readonly Event[]): void;
  falseTrips(view: View, events: readonly Event[]): readonly string[];
  failures(endsAtS: number): readonly string[];
  figures(): Pick<
    Outcome,
    'isHazard' | 'isSafeDue' | 'unseen' | 'promisedS' | 'detectedAfterS' | 'detectedBy' | 'safeAfterS'
  >;
}

/** What a still that is not heard for a moment cannot prove: a switch or a heat-off just then is rightly held. */
const provenByReport = ['receiver-stuck', 'heat-not-stopping', 'heat-not-coming'];

function isUnheard(trial: Trial, trip: string, atS: number): boolean {
  const isThat = provenByReport.includes(trip.split(':', 1)[0] ?? '');
  return isThat && trial.plans.some((one) => one.fault === 'link-lost' && atS >= one.fromS && atS < one.untilS + 20);
}

/** Whatever led to it, here a command that was lost: heat was told off, and the still draws power all the same. */
function isTrue(trip: string, { before, plant, site }: View): boolean {
  return trip.startsWith('heat-not-stopping:') && commandedHeat(before, plant) === 0 && site.state.powerW > 0;
}

/** Follows one trouble: since when it is a hazard, who told of it when, and when the still was safe. */
export function createSight(trial: Trial): Sight {
  const { one, type, course, fromS, plans, delayS } = trial;
  const { plant } = course;
  const isAlone = trial.second === null;
  const unseen = isAlone ? one.unseen(type, plans) : 'two troubles at once';
  const limitS = promisedS(one, plant);
  const allowedS = (limitS ?? Number.POSITIVE_INFINITY) + delayS + graceS;
  const isTolerated = one.safe === 'carries-on' && isAlone;
  const heatBefore = commandedHeat(trial.moment.run, plant);
  let onsetS: number | null = null;
  let toldAtS: number | null = null;
  let toldBy: string | null = null;
  let safeAtS: number | null = null;
  let cutsWhileOn = 0;
  let isDisturbed = false;
  const wrongCuts: string[] = [];
  const answers = (id: string) => one.answers.includes(id.split(':', 1)[0] ?? '');
  const isSafe = (view: View): boolean => {
    switch (one.safe) {
      case 'heat-off':
        return commandedHeat(view.run, plant) === 0;
      case 'less-heat':
        return commandedHeat(view.run, plant) < heatBefore || view.run.state === 'held';
      case 'held':
        return view.run.state !== 'running' || view.run.step < 0;
      case 'device-off':
        return view.site.state.powerW === 0;
      case 'told':
      case 'no-cut':
        return toldAtS !== null;
      case 'carries-on':
        return true;
    }
  };
  const safeLimitS = one.safeWithinS ?? limitS;
  const safeAllowedS = one.safeWithinS ?? allowedS + 2;
  const isSafeDue = () => isRelevant() || (isAlone && onsetS !== null && one.safeWithinS !== undefined);
  const isRelevant = () => unseen === null && onsetS !== null;
  const after = (atS: number | null) => (atS === null || onsetS === null ? null : Math.max(0, atS - onsetS));
  return {
    get isSettled() {
      return !isTolerated && onsetS !== null && toldAtS !== null && safeAtS !== null;
    },
    look(view, events) {
      const isUntold = onsetS !== null && toldAtS === null && view.atS - onsetS <= allowedS;
      if (isUntold && one.isPast?.(view) === true) onsetS = null;
      if (onsetS === null && one.onset(view)) onsetS = view.atS;
      for (const event of events) {
        const isCall = event.kind === 'alarm' && event.transition === 'raised' && view.atS >= fromS;
        if (isCall && toldAtS === null && answers(event.alarm)) {
          toldAtS = view.atS;
          toldBy = event.alarm;
        }
        if (event.kind === 'phase' && event.reason.code !== 'order.cut' && toldAtS !== null && view.isOn)
          cutsWhileOn += 1;
        if (isTolerated) wrongCuts.push(...wrongCut(event, view));
        if (event.kind === 'state' && event.to === 'held' && view.atS >= fromS) isDisturbed = true;
      }
      if (safeAtS === null && (onsetS !== null || toldAtS !== null) && isSafe(view)) safeAtS = view.atS;
    },
    falseTrips: (view, events) =>
      events.flatMap((event) => {
        const isTrip = event.kind === 'trip' && event.state === 'tripped';
        const isHold = event.kind === 'state' && event.to === 'held' && event.reason.code !== 'held.trip';
        if (!isTrip && !isHold) return [];
        const what = isTrip ? event.trip : event.reason.code;
        const isCalledFor = isAlone ? !isTolerated && (onsetS !== null || toldAtS !== null || answers(what)) : true;
        const { atS } = view;
        if (isUnheard(trial, what, atS) || isTrue(what, view)) return [];
        const isOrdered = !isTrip && (trial.acts.length > 0 || one.hazard !== null);
        return atS >= fromS && (isCalledFor || isOrdered) ? [] : [`${what} at ${Math.round(atS - fromS)} s`];
      }),
    failures(endsAtS) {
      const told = after(toldAtS);
      const safe = after(safeAtS);
      const lastedS = endsAtS - (onsetS ?? 0);
      const lines: string[] = [];
      const isMissed = (afterS: number | null, withinS: number) => (afterS === null ? lastedS : afterS) > withinS;
      if (isRelevant() && limitS !== null && isMissed(told, allowedS))
        lines.push(`not detected within ${limitS} s: ${told === null ? 'never' : `${told} s by ${toldBy}`}`);
      if (isRelevant() && one.safe === 'no-cut' && cutsWhileOn > 0)
        lines.push('a cut was made by a probe that was not to be believed');
      lines.push(...wrongCuts);
      if (isSafeDue() && safeLimitS !== null && isMissed(safe, safeAllowedS))
        lines.push(`not safe (${one.safe}) within ${safeLimitS} s: ${safe === null ? 'never' : `${safe} s`}`);
      return lines;
    },
    figures: () => ({
      isHazard: onsetS !== null,
      isSafeDue: isTolerated || isSafeDue(),
      unseen,
      promisedS: limitS,
      detectedAfterS: after(toldAtS),
      detectedBy: toldBy,
      safeAfterS: isTolerated ? (isDisturbed || wrongCuts.length > 0 ? null : 0) : after(safeAtS),
    }),
  };
}

/** A cut by the vapour's temperature that was made before the true vapour was there. */
function wrongCut(event: Event, { site, isOn }: View): readonly string[] {
  // While the vapour front races past the probe, its own lag is some kelvin.
  const isFront = event.kind === 'phase' && event.from === 'heat-up';
  if (!isOn || event.kind !== 'phase' || isFront || event.reason.code !== 'cut.condition') return [];
  const { thresholdHereC } = event.figures;
  const shortK = thresholdHereC === null ? 0 : thresholdHereC - site.state.head.tempC;
  return shortK <= cutWithinK
    ? []
    : [`a cut to ${event.to} was made ${shortK.toFixed(1)} K before the vapour was there`];
}
