import { describe, expect, it } from 'vitest';
import { showCoverage } from '../../daemon/commands/coverage-rows';
import { checkStill, type StillDocument, showProblem } from '../../lib';
import { good } from '../tools/plants';
import { storyStills } from '../tools/story-still';

const full = storyStills.pot[0] as StillDocument;
const drives = full.drives ?? {};
const heat = Object.keys(drives).find((id) => drives[id]?.kind === 'heat') ?? '';
const [first = '', second = ''] = Object.keys(full.receivers ?? {});

function withHeat(changed: object): unknown {
  return { ...full, drives: { ...drives, [heat]: { ...drives[heat], ...changed } } };
}

function said(document: unknown): string[] {
  const checked = checkStill(document);
  return (checked.kind === 'ok' ? checked.warnings : checked.problems).map(showProblem);
}

describe('a still document', () => {
  it('warns of a switch-off in the device that one late command would set off', () => {
    expect(said(withHeat({ deadManS: 2, ttlS: 2 })).join('\n')).toMatch(
      new RegExp(`drives\\.${heat}\\.deadManS: 2: is so short .* 3 s or more`),
    );
    expect(said(withHeat({ deadManS: 3, ttlS: 3 })).join('\n')).not.toMatch(/deadManS/);
  });

  it('warns of commands that outlive the switch-off in the device', () => {
    expect(said(withHeat({ deadManS: 10, ttlS: 11 })).join('\n')).toMatch(
      new RegExp(`drives\\.${heat}\\.ttlS: 11: is longer than deadManS, 10 s.*Make it 10 s or less`),
    );
  });

  it('refuses feints that would overflow into a receiver for hearts only, and lets hearts do so', () => {
    const overflowing = (takes: readonly string[]) => ({
      ...full,
      receivers: {
        ...full.receivers,
        [first]: { ...full.receivers?.[first], takes, overflowTo: second },
        [second]: { ...full.receivers?.[second], takes: ['hearts'], overflowTo: undefined },
      },
    });
    expect(checkStill(overflowing(['heads'])).kind).toBe('bad');
    expect(said(overflowing(['heads'])).join('\n')).toMatch(
      new RegExp(`receivers\\.${first}\\.overflowTo: "?${second}"?: takes hearts only`),
    );
    expect(said(overflowing(['hearts'])).join('\n')).not.toMatch(/overflowTo/);
  });

  it('refuses an overflow into itself or into nothing', () => {
    for (const overflowTo of [first, 'bucket']) {
      const document = {
        ...full,
        receivers: { ...full.receivers, [first]: { ...full.receivers?.[first], overflowTo } },
      };
      expect(said(document).join('\n')).toMatch(new RegExp(`receivers\\.${first}\\.overflowTo`));
    }
  });
});

describe('the coverage that check prints', () => {
  it('has a line for each hazard, and says how soon', () => {
    const text = showCoverage(good(checkStill(full)));
    expect(text).toMatch(/bare element, dry boil +acts in time +3 s +element too hot and \d+ more/);
    expect(text).toMatch(/link or computer lost +acts in time +\d+ s +the heat switching itself off/);
    expect(text).not.toMatch(/NOT SEEN|ACTS LATE/);
  });

  it('says of what is not seen what would show it, and what must protect beside', () => {
    const points = Object.fromEntries(Object.entries(full.points).filter(([id]) => id !== 'element-temp'));
    const text = showCoverage(good(checkStill({ ...full, points })));
    expect(text).toMatch(/bare element, dry boil +ACTS LATE/);
    expect(text).toContain('bare element, dry boil: a point of kind element-temp would show it');
    expect(text).toContain('bare element, dry boil: beside this program: a wired cut-out on the element');
  });
});
