import type { Event } from '../../lib/engine/types';
import type { Saying } from '../../lib/words';
import type { LoadedConfig } from '../config';
import { openPage, type Page, sourceOf } from '../page';
import type { Journal } from '../store';
import type { HostLog } from './host';
import type { StillHost } from './still-host';

/** The page as the host drives it: told of every event and every turn. */
export interface StillroomPage {
  /** Where it is to be opened; null where there is none. */
  readonly url: string | null;
  hear(still: StillHost, event: Event): void;
  turned(): void;
  close(): Promise<void>;
}

/**
 * Opens the page for the stillroom where the configuration wants one. A page that cannot be opened is told and done
 * without: the stills matter more.
 */
export async function openStillroomPage(
  config: LoadedConfig,
  stills: readonly StillHost[],
  journal: Journal,
  saying: Saying,
  wake: () => void,
  log: HostLog,
): Promise<StillroomPage> {
  if (!config.page.enabled) return noPage;
  const speeds = new Map(config.stills.map(({ still, speed }) => [still.id, speed]));
  const source = sourceOf(stills, journal, saying, { wake, speedOf: (still) => speeds.get(still) ?? 1 });
  const { host, port, password } = config.page;
  const page = await openPage({ host, port, password, source, log }).catch((error: Error): Page | null => {
    log.error({}, error.message);
    return null;
  });
  if (page === null) return noPage;
  return {
    url: page.url,
    hear: (still, event) => source.hear(still.still.id, event),
    turned() {
      for (const { still } of stills) {
        source.noted(still.id);
        page.changed(still.id);
      }
    },
    close: () => page.close(),
  };
}

const noPage: StillroomPage = {
  url: null,
  hear: () => undefined,
  turned: () => undefined,
  close: () => Promise.resolve(),
};
