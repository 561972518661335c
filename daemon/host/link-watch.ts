import type { Plant, Run } from '../../lib/engine/types';
import type { Link } from '../link';
import type { StillHost } from './still-host';

/** Dead-man of a heat device that states none [engine s]. */
const usualDeadManS = 30;
/** Heat is told again after a third of the dead-man: so much earlier than the silence began the device may have been fed last. */
const fedBeforeShare = 1 / 3;
/** However fast a simulated still runs, a broker may need this long to be heard [ms]. */
const leastMs = 1000;

/** How long the broker may be silent before the heater may have switched itself off [ms]. */
export function silenceLimitMs(plant: Plant, speed: number): number {
  const times = Object.values(plant.still.drives).flatMap((drive) =>
    drive.kind === 'heat' ? [drive.deadManS ?? usualDeadManS] : [],
  );
  const deadManS = Math.min(usualDeadManS, ...times);
  return Math.max(leastMs, (deadManS * (1 - fedBeforeShare) * 1000) / speed);
}

function isHeated(plant: Plant, run: Run): boolean {
  if (run.state !== 'running' || run.step < 0) return false;
  return Object.entries(run.drives).some(
    ([id, { value }]) => plant.still.drives[id]?.kind === 'heat' && typeof value === 'number' && value > 0,
  );
}

/**
 * Holds a run that is heated once the link was silent for so long that the heater has switched itself off, or may have: otherwise heat
 * would come back by itself with the link. Readings that reach us another way than by the link cannot tell.
 *
 * @param held called with a still whose run has just been ordered to hold, and how long the broker was not heard [s]
 * @returns to be called every turn; true while the link is silent for too long
 */
export function watchLink(
  stills: readonly StillHost[],
  link: Pick<Link, 'heardAtMs'>,
  nowMs: () => number,
  held: (still: StillHost, silentS: number) => void,
): () => boolean {
  const startedMs = nowMs();
  let wasSilent = false;
  return () => {
    const silentMs = nowMs() - Math.max(startedMs, link.heardAtMs());
    let isSilent = false;
    for (const still of stills) {
      if (silentMs <= silenceLimitMs(still.plant, still.speed)) continue;
      isSilent = true;
      // Seen twice: after a standstill of this process what the broker said may lie unread in the socket.
      if (wasSilent && isHeated(still.plant, still.run)) held(still, silentMs / 1000);
    }
    wasSilent = isSilent;
    return isSilent;
  };
}
