import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { feedSchema, mappingOfFeed } from '../../daemon/config';
import { type Drive, driveSchema } from '../../lib/still/schema';
import { checkDriveMapping, compileMapping, driveMappingSchema, payloadOfCommand } from '../../lib/wire';

const guide = readFileSync(join(process.cwd(), 'daemon/drives/README.md'), 'utf8');
const blocks = [...guide.matchAll(/```yaml\n([\s\S]*?)```/g)].map(
  (found) => parse(found[1] ?? '') as Record<'drives' | 'feeds', Record<string, { mqtt: unknown }> | undefined>,
);

/** A still whose drives have the names of the guide. */
function driveFor(name: string, block: number): Drive {
  if (name === 'spout') return driveSchema.parse({ kind: 'diverter', positions: ['heads', 'hearts', 'tails'] });
  if (name !== 'heater') return driveSchema.parse({ kind: 'receiver-valve', receiver: 'hearts' });
  const modulates = JSON.stringify(blocks[block]).includes('{percent}');
  return driveSchema.parse({ kind: 'heat', ratedW: 5000, deadManS: 30, control: modulates ? 'modulating' : 'on-off' });
}

describe('guide to drives', () => {
  it('has its examples', () => {
    expect(blocks.length).toBeGreaterThanOrEqual(5);
  });

  blocks.forEach((block, at) => {
    it(`example ${at + 1} is what the daemon understands, without a warning`, () => {
      for (const [name, { mqtt }] of Object.entries(block.drives ?? {})) {
        const mapping = driveMappingSchema.parse(mqtt);
        const drive = driveFor(name, at);
        expect(checkDriveMapping(mapping, drive)).toMatchObject({ kind: 'ok', warnings: [] });
        const value = drive.kind === 'diverter' ? 'hearts' : 0;
        const payload = payloadOfCommand(
          mapping,
          drive,
          { id: 'c1', value, issuedAt: '', ttlS: 10, reason: '' },
          false,
        );
        expect(payload).not.toBe('');
        if (drive.kind === 'heat') expect(payload).not.toContain('toggle_after');
      }
      for (const feed of Object.values(block.feeds ?? {})) {
        const kind = JSON.stringify(feed).includes('apower') ? 'heat-power' : 'drive-state';
        expect(compileMapping(mappingOfFeed(feedSchema.parse(feed)), kind).kind).toBe('ok');
      }
    });
  });
});
