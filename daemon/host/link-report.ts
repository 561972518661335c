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

/**
 * Puts what the link says of itself into the log. While a broker is away the same troubles come again with every repeat of a command: each is
 * said once, and how often it came when the link is back.
 */
export function linkReporter(log: HostLog, onDisplaced: () => void): (event: LinkEvent) => void {
  const said = new Map<string, number>();
  return (event) => {
    switch (event.kind) {
      case 'status': {
        if (event.status === 'offline') log.warn({}, 'broker offline');
        else log.info({}, `broker ${event.status}`);
        if (event.status !== 'online') return;
        for (const [text, times] of said)
          if (times > 1) log.warn({ times }, `${text}: ${times} times while it was away`);
        said.clear();
        return;
      }
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
      default: {
        const text = sayEvent(event);
        const times = (said.get(text) ?? 0) + 1;
        said.set(text, times);
        if (times === 1) log.warn(event, text);
      }
    }
  };
}

function sayEvent(event: LinkEvent): string {
  const topic = 'topic' in event ? ` ${event.topic}` : '';
  const why = 'why' in event ? ` (${event.why})` : '';
  const message = 'message' in event ? `: ${event.message}` : '';
  return `link: ${event.kind}${topic}${why}${message}`;
}
