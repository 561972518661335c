import { expect, it } from 'vitest';
import { createOnlooker } from '../../daemon/host/onlooker';

it('an onlooker that makes mistakes is told of once, asked again, and keeps nobody from their work', () => {
  const told: string[] = [];
  const note = (_about: object, message: string) => told.push(message);
  const beside = createOnlooker('the page', { info: note, warn: note, error: note });
  let looked = 0;
  const mistake = new TypeError('nothing there');
  for (let turn = 0; turn < 1000; turn += 1) {
    beside(() => {
      looked += 1;
      throw mistake;
    });
  }
  expect(looked).toBe(1000);
  expect(told).toHaveLength(1);
  expect(told[0]).toMatch(/^fault of the page, the stills run on: TypeError: nothing there/);
});
