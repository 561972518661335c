import { checkStill } from '../../lib/still/check';
import type { Still } from '../../lib/still/schema';

/** The demo's pot still as tests of the wire need it: one point of each sort, one drive of each sort. */
export function orchardStill(changes: Record<string, unknown> = {}): Still {
  const checked = checkStill({
    still: 1,
    id: 'orchard',
    name: 'Orchard pot',
    kind: 'pot',
    boilerVolumeL: 60,
    heelL: 8,
    points: {
      vapour: { kind: 'vapour-temp' },
      boiler: { kind: 'boiler-temp' },
      air: { kind: 'air-pressure' },
      heating: { kind: 'drive-state', drive: 'heater' },
    },
    drives: {
      heater: { kind: 'heat', ratedW: 5000, control: 'on-off', deadManS: 30, reported: 'heating' },
      coolant: { kind: 'coolant' },
    },
    ...changes,
  });
  if (checked.kind === 'bad') throw new Error(JSON.stringify(checked.problems));
  return checked.value;
}
