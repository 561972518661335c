import type { CutRule } from './rule';

/** Never met by itself: the operator's order makes the cut. */
export const order: CutRule<'order'> = {
  test: 'order',
  needs: () => [],
  judge: () => ({ kind: 'known', excess: -1, deadband: 0, reason: { code: 'test.order', numbers: {} } }),
};
