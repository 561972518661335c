import type { Link, LinkEvent } from '../link';
import type { HostLog } from './host';

/** The first commands should not be lost to a link that is just opening; a broker that is away is waited for no longer [ms]. */
const firstWaitMs = 2000;

export function untilOnline(link: Link): Promise<void> {
  if (link.status() === 'online') return Promise.resolve();
  return new Promise((resolve) => {
    const done = () => {
      clearTimeout(timer);
      subscription.unsubscribe();
      resolve();
    };
    const timer = setTimeout(done, firstWaitMs);
    const subscription = link.events.subscribe((event) => {
      if (event.kind === 'status' && event.status === 'online') done();
    });
  });
}

/** What the link says of itself, in the log. */
export function reportLink(event: LinkEvent, log: HostLog, onDisplaced: () => void): void {
  switch (event.kind) {
    case 'status':
      if (event.status === 'offline') log.warn({}, 'broker offline');
      else log.info({}, `broker ${event.status}`);
      return;
    case 'displaced':
      log.error(
        { owner: event.owner },
        'another daemon of this group has taken the link: this one commands nothing more',
      );
      onDisplaced();
      return;
    case 'second-owner':
      log.error({ owner: event.owner }, 'another daemon says that it owns this group');
      return;
    default:
      log.warn(
        event,
        `link: ${event.kind}${'topic' in event ? ` ${event.topic}` : ''}${'why' in event ? ` (${event.why})` : ''}${'message' in event ? `: ${event.message}` : ''}`,
      );
  }
}
