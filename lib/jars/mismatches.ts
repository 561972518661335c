import type { Recipe } from '../recipe/schema';
import { asVariant } from '../recipe/variant';
import { type Contradiction, contradiction } from './contradictions';
import type { DerivedVariant } from './derive';
import type { SheetFigures } from './figures';
import { type Replay, replaySheet } from './replay';
import type { Selection } from './selection';
import type { CutMaking } from './steps';

/** A vapour reading this much otherwise must not put a cut into another jar: what smoothing and a barometer's lag are worth [K]. */
const replayRoomK = 0.01;

/** So much of a jar at least must go where it belongs: a cut in the very middle of a jar may fall on either side. */
const clearPortion = 0.6;

function isWrong(portion: number, jar: number, { firstJar, lastJar }: Selection): boolean {
  return jar >= firstJar && jar <= lastJar ? portion < clearPortion : portion > 1 - clearPortion;
}

/** Whether a replay collects other jars than selected. */
function misses(replay: Replay, selection: Selection): boolean {
  return replay.asked !== null || replay.portions.some((portion, index) => isWrong(portion, index + 1, selection));
}

/** What the recipe would do otherwise than the verdicts say, in words. */
export function findMismatches(
  figures: SheetFigures,
  one: DerivedVariant,
  recipe: Recipe,
  making: CutMaking,
): Contradiction[] {
  const chosen = asVariant(recipe, one.variant) ?? recipe;
  const errors = [0, -replayRoomK, replayRoomK];
  const replay = errors
    .map((errorK) => (errorK === 0 ? one.replay : replaySheet(figures, chosen, errorK)))
    .find((tried) => misses(tried, one.selection));
  if (replay === undefined) return [];
  const headsC = one.cuts.heads.vapourAtReferenceC.toFixed(2);
  const tailsC = one.cuts.tails.vapourAtReferenceC.toFixed(2);
  const room = replay === one.replay ? '' : `, if the vapour read ${replayRoomK} K otherwise,`;
  const cuts = `${one.variant}: the cuts (heads ${headsC} °C by ${making.headsBy}, tails ${tailsC} °C by ${making.tailsBy})${room}`;
  const wrong = replay.portions
    .flatMap((portion, i) =>
      isWrong(portion, i + 1, one.selection) ? [`${(100 * portion).toFixed(0)} % of jar ${i + 1}`] : [],
    )
    .slice(0, 4)
    .join(', ');
  const message =
    replay.asked !== null
      ? `${cuts} would not be made: the end of ${replay.asked} is already true when it begins, so it would be asked`
      : `${cuts} would send ${wrong} to hearts, for the run does not change enough there to part these jars`;
  const share = making.tailsBy !== 'share' || making.headsBy !== 'share';
  const remedy = share ? 'Cut by share, or correct the readings at the cuts' : 'Correct the readings at the cuts';
  return [contradiction(`jars.${one.selection.lastJar - 1}.end.vapourTempC`, undefined, message, remedy)];
}
