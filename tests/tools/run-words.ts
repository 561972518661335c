import { allowedStates } from '../../lib/engine/orders';
import { phases } from '../../lib/recipe/schema';

/** The fixed words a reason can hold: phases and fractions, states, orders. */
export const allRunWords: readonly string[] = [
  ...phases,
  ...Object.keys(allowedStates),
  'idle',
  'running',
  'held',
  'stopping',
  'complete',
  'stopped',
  'aborted',
];
