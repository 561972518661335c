import { nextCut } from '../../lib/engine/next';
import { allowedStates } from '../../lib/engine/orders';
import type { OrderKind, Plant, Run } from '../../lib/engine/types';
import { fractions } from '../../lib/recipe/schema';
import { type Saying, sayName, sayReason } from '../../lib/words';
import type { StillHost } from '../host/still-host';
import type { AskView } from './views';

/** What the engine waits for a person to answer. */
export function askViews(plant: Plant, run: Run, saying: Saying): readonly AskView[] {
  const next = nextCut(plant, run);
  const [from, to] = [sayName(run.phase, saying), sayName(next?.to ?? 'finish', saying)];
  const asks: AskView[] = [];
  if (run.cut.asked && next !== null) {
    const code = run.cut.metOnEntry ? 'ask.met-on-entry' : run.cut.askOnly ? 'ask.after-undo' : 'ask.recipe';
    asks.push({ kind: 'cut', from, to, why: sayReason({ code, numbers: {}, because: next.reasons }, saying) });
  }
  if (run.surge.divertedSinceS !== null && (run.surge.puked || run.surge.count > 2)) {
    const why = sayReason({ code: 'surge.asked', numbers: { count: run.surge.count } }, saying);
    asks.push({ kind: 'surge', from, to, why });
  }
  if (run.spoutAsked !== null) {
    const why = sayReason({ code: 'spout.asked', numbers: { to: run.spoutAsked } }, saying);
    asks.push({ kind: 'spout', to: run.spoutAsked, why });
  }
  return asks;
}

/** How long the last cut can still be undone [s]; null where there is none to undo. */
export function undoForS(plant: Plant, run: Run): number | null {
  const { lastCut } = run;
  if (lastCut === null || run.state !== 'running' || run.step !== lastCut.step + 1) return null;
  const leftS = plant.still.undoWithinS - (run.now - lastCut.atS);
  return leftS > 0 ? leftS : null;
}

/** By order: what must be so besides the state. Only for what people are offered: the engine judges every order itself. */
const fits: Readonly<Partial<Record<OrderKind, (host: StillHost) => boolean>>> = {
  start: ({ runId, recipes }) => runId === null && recipes.length > 0,
  hold: ({ run }) => run.step >= 0,
  cut: ({ run }) => run.step >= 0 && run.resume === null,
  'decline-cut': ({ run }) => run.cut.asked || run.surge.puked,
  'undo-cut': ({ plant, run }) => undoForS(plant, run) !== null,
  'spout-moved': ({ run }) => run.spoutAsked !== null,
  reset: ({ run }) => run.state !== 'idle' || run.trips.length > 0,
  'next-jar': ({ run }) => (fractions as readonly string[]).includes(run.phase),
  attend: ({ still }) => still.attendanceS !== undefined,
};

export function ordersNow(host: StillHost): readonly OrderKind[] {
  const kinds = Object.keys(allowedStates) as OrderKind[];
  return kinds.filter((kind) => allowedStates[kind].includes(host.run.state) && (fits[kind]?.(host) ?? true));
}
