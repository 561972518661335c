import { needsCoolant } from './hot';
import { equaliseAgainS } from './phase';
import { wantedReceivers } from './receivers';
import type { DriveValue, Plant, Reason, Run } from './types';

/** What every drive should be at, with the reason; a drive that is not listed stays as it is. */
export type Wanted = Readonly<Record<string, { readonly value: DriveValue; readonly reason: Reason }>>;

/** What the recipe wants of the drives in this phase, before any interlock. */
export function wantDrives(plant: Plant, run: Run): Wanted {
  const wanted: Record<string, Wanted[string]> = wantedReceivers(plant, run);
  const step = run.state === 'running' ? plant.plan[run.step]?.step : undefined;
  const reason = reasonNow(run, step !== undefined);
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    switch (drive?.kind) {
      case 'heat':
        if (drive.source === 'solid-fire') break;
        wanted[id] = {
          value: shareFor(drive.control, step === undefined ? 0 : step.heatShare * surgeShare(plant, run)),
          reason,
        };
        break;
      case 'coolant': {
        const share = step === undefined ? (needsCoolant(plant, run, run.image) ? 1 : 0) : step.coolantShare;
        if (share > 0 || run.drives[id] !== undefined) wanted[id] = { value: shareFor(drive.control, share), reason };
        break;
      }
      case 'take-off':
        wanted[id] = {
          value: shareFor(drive.control, step === undefined || equalisesAgain(plant, run) ? 0 : step.takeOffShare),
          reason,
        };
        break;
      case 'contactor':
        wanted[id] = { value: step !== undefined || keepsContactor(plant, run, id) ? 1 : 0, reason };
        break;
      default:
    }
  }
  return wanted;
}

/** What the phase wants, or why the run stands still. */
function reasonNow(run: Run, moves: boolean): Reason {
  return moves || run.state === 'idle' || run.state === 'running'
    ? { code: 'drive.phase', numbers: { phase: run.phase, state: run.state } }
    : { code: 'drive.state', numbers: { state: run.state }, because: [run.stateReason] };
}

/** Long enough to see by two readings of a meter a heat relay that does not open, before the second contactor hides it [s]. */
const contactorWaitsS = 20;

/** After the heat was told off the contactor stays for some seconds, if it was closed. */
function keepsContactor(plant: Plant, run: Run, id: string): boolean {
  if (run.drives[id]?.value !== 1) return false;
  for (const heat in plant.still.drives) {
    if (plant.still.drives[heat]?.kind !== 'heat') continue;
    const memory = run.drives[heat];
    if (memory !== undefined && (memory.value !== 0 || run.now - memory.changedAtS < contactorWaitsS)) return true;
  }
  return false;
}

function shareFor(control: 'on-off' | 'modulating', share: number): number {
  return control === 'modulating' ? share : share > 0 ? 1 : 0;
}

function surgeShare(plant: Plant, run: Run): number {
  return run.surge.divertedSinceS === null ? 1 : (plant.recipe?.surgeGuard?.heatShare ?? 1);
}

/** A resumed column runs at total reflux until it has equalised again. */
function equalisesAgain(plant: Plant, run: Run): boolean {
  if (plant.still.kind !== 'column' || run.resume?.reheating !== true) return false;
  const { backSinceS } = run.resume;
  return backSinceS === null || run.now - backSinceS < equaliseAgainS;
}
