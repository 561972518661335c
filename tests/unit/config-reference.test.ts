import { describe, expect, it } from 'vitest';
import { referenceFiles } from '../tools/reference-docs';

describe('references made from the schemas', () => {
  for (const [file, text] of Object.entries(referenceFiles)) {
    it(`${file} is what the schema says today (tests/tools/reference-docs.ts writes it)`, async () => {
      await expect(text()).toMatchFileSnapshot(`../../${file}`);
    });
  }

  it('names every field of the schema', () => {
    const text = referenceFiles['daemon/config/reference.md']?.() ?? '';
    for (const field of ['availability', 'passwordFile', 'sentinels', 'order', 'MIDDLECUT_BROKER_URL']) {
      expect(text).toContain(`\`${field}\``);
    }
  });
});
