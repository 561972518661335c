import type { Event } from '../../lib/engine/types';
import type { Saying } from '../../lib/words';
import type { LoadedConfig } from '../config';
import { openPage, type Page, sourceOf } from '../page';
import type { Journal } from '../store';
import type { HostLog } from './host';
import { createOnlooker } from './onlooker';
import type { OwnAlarms } from './own-alarms';
import type { StillHost } from './still-host';

/** The page as the host drives it: told of every event and every turn. */
export interface StillroomPage {
  /** Where it is to be opened; null where there is none. */
  readonly url: string | null;
  hear(still: StillHost, event: Event): void;
  turned(): void;
  close(): Promise<void>;
}

export interface StillroomOptions {
  readonly config: LoadedConfig;
  readonly stills: readonly StillHost[];
  readonly journal: Journal;
  readonly saying: Saying;
  readonly ownAlarms: OwnAlarms;
  readonly wake: () => void;
  readonly log: HostLog;
}

/**
 * Opens the page for the stillroom where the configuration wants one. A page that cannot be opened is told and done
 * without: the stills matter more.
 */
export async function openStillroomPage(options: StillroomOptions): Promise<StillroomPage> {
  const { config, stills, journal, saying, ownAlarms, wake, log } = options;
  if (!config.page.enabled) return noPage;
  const speeds = new Map(config.stills.map(({ still, speed }) => [still.id, speed]));
  const tell = createOnlooker('the page', log);
  const source = sourceOf(stills, journal, saying, {
    wake,
    ownAlarms,
    speedOf: (still) => speeds.get(still) ?? 1,
    complain: (error) =>
      tell(() => {
        throw error;
      }),
  });
  const { host, port, password } = config.page;
  const showing = { language: config.language, temperatures: config.temperatures };
  const page = await openPage({ host, port, password, source, showing, log }).catch((error: Error): Page | null => {
    log.error({}, error.message);
    return null;
  });
  if (page === null) return noPage;
  return {
    url: page.url,
    hear: (still, event) => source.hear(still.still.id, event),
    turned() {
      for (const { still } of stills) page.changed(still.id);
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
