import { describe, expect, it } from 'vitest';
import { linkReporter } from '../../daemon/host/link-report';
import type { LinkEvent } from '../../daemon/link';

describe('the log of the link', () => {
  it('says a trouble once while a broker is away, and how often it came when it is back', () => {
    const lines: string[] = [];
    const take = (_: object, text: string) => lines.push(text);
    const report = linkReporter({ info: take, warn: take, error: take }, () => undefined);
    const lost: LinkEvent = { kind: 'command-lost', topic: 'cmnd/heat', why: 'offline' };
    const away: LinkEvent = { kind: 'status', status: 'offline' };
    const back: LinkEvent = { kind: 'status', status: 'online' };
    for (const event of [away, lost, lost, lost, back, away, lost, back]) report(event);
    expect(lines).toEqual([
      'broker offline',
      'link: command-lost cmnd/heat (offline)',
      'broker online',
      'link: command-lost cmnd/heat (offline): 3 times while it was away',
      'broker offline',
      'link: command-lost cmnd/heat (offline)',
      'broker online',
    ]);
  });
});
