import type { Wanted } from './control';
import { trusted } from './reading';
import type { Command, Drive, DriveMemory, DriveValue, Plant, Reason, Run } from './types';

/** Every drive is told again this often, so that one that was away or reset comes back by itself [s]. */
const repeatS = 30;
const mismatchRepeatS = 5;

/** Turns what is wanted into commands: changes at once, repetitions when due. */
export function commandDrives(plant: Plant, run: Run, wanted: Wanted): { run: Run; commands: Command[] } {
  const drives: Record<string, DriveMemory> = { ...run.drives };
  const commands: Command[] = [];
  let count = run.commandCount;
  for (const id in plant.still.drives) {
    const drive = plant.still.drives[id];
    const want = wanted[id];
    const memory = drives[id];
    if (drive === undefined || want === undefined) continue;
    const changed = memory === undefined || memory.value !== want.value;
    if (!changed && run.now - memory.commandedAtS < repeatAfterS(plant, run, drive, memory)) continue;
    count += 1;
    commands.push({
      id: `c${count}`,
      drive: id,
      value: want.value,
      issuedAtS: run.now,
      ttlS: drive.ttlS,
      repeat: !changed,
      safe: isSafe(drive, memory?.value, want.value, want.reason),
      reason: want.reason,
    });
    drives[id] = {
      value: want.value,
      commandedAtS: run.now,
      changedAtS: changed ? run.now : memory.changedAtS,
      reason: changed ? want.reason : memory.reason,
    };
  }
  return { run: commands.length === 0 ? run : { ...run, drives, commandCount: count }, commands };
}

function repeatAfterS(plant: Plant, run: Run, drive: Drive, memory: DriveMemory): number {
  if (drive.deadManS !== undefined && memory.value !== 0) return drive.deadManS / 3;
  return isMismatched(plant, run, drive, memory) ? mismatchRepeatS : repeatS;
}

/** Whether a drive reports something else than it was told; false where it reports nothing. */
export function isMismatched(_plant: Plant, run: Run, drive: Drive, memory: DriveMemory): boolean {
  const reported = drive.reported === undefined ? null : trusted(run.image[drive.reported]);
  if (reported === null) return false;
  if (drive.kind === 'diverter') return reported !== drive.positions.indexOf(String(memory.value));
  if (typeof memory.value !== 'number') return false;
  return reported > 0.02 !== memory.value > 0.02;
}

/**
 * Towards the safe state: less heat, more coolant, a take-off or contactor that closes, a path that is opened for want
 * of one. A receiver that opens for a cut is a decision like any other: it is written down before it leaves.
 */
function isSafe(drive: Drive, before: DriveValue | undefined, value: DriveValue, reason: Reason): boolean {
  if (typeof value !== 'number') return false;
  switch (drive.kind) {
    case 'heat':
    case 'take-off':
    case 'contactor':
      return value === 0 || (typeof before === 'number' && value < before);
    case 'coolant':
      return value > 0;
    case 'receiver-valve':
      return value === 1 && reason.code === 'interlock.open-path';
    case 'diverter':
      return false;
  }
}
