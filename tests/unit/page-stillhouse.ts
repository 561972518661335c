import { secretOf } from '../../daemon/config/secret';
import { createAnnouncer } from '../../daemon/host/announce';
import { createHost, type HostLog, type Outlet } from '../../daemon/host/host';
import { createStillHost, type StillHost } from '../../daemon/host/still-host';
import { openPage, type Page, sourceOf } from '../../daemon/page';
import { type Journal, openJournal, valueOrThrow } from '../../daemon/store';
import type { Event } from '../../lib/engine/types';
import { parseDocument } from '../../lib/problems';
import type { RecipeDocument } from '../../lib/recipe/schema';
import { recipeSchema } from '../../lib/recipe/schema';
import type { StillDocument } from '../../lib/still/schema';
import { english, sayReason } from '../../lib/words';
import type { FaultPlan } from '../../simulators/faults';
import { scenarios, specOf } from '../../simulators/scenarios';
import { createSite, type Site } from '../../simulators/site';
import { good } from '../tools/plants';

export const startMs = Date.parse('2026-03-14T09:00:00Z');

export interface StillhouseOptions {
  readonly journal?: string;
  readonly still?: Partial<StillDocument>;
  readonly recipes?: readonly RecipeDocument[];
  readonly faults?: readonly FaultPlan[];
  readonly password?: string;
  readonly host?: string;
  readonly port?: number;
}

/** An orchard stillhouse in virtual time: simulated site, real host, real journal, and the page over it. */
export interface Stillhouse {
  readonly still: StillHost;
  readonly journal: Journal;
  readonly site: Site;
  readonly page: Page;
  readonly source: ReturnType<typeof sourceOf>;
  readonly events: readonly Event[];
  readonly logged: readonly string[];
  /** Lets some seconds pass, or until something is so. */
  pass(seconds: number, until?: () => boolean): Promise<void>;
  /** Lets time pass by itself from now on, so many seconds a second. */
  runFreely(speed: number): void;
  close(): Promise<void>;
}

export async function openStillhouse(options: StillhouseOptions = {}): Promise<Stillhouse> {
  const scenario = { ...scenarios['pot-spirit'], still: { ...scenarios['pot-spirit'].still, ...options.still } };
  const spec = specOf(scenario);
  const site = createSite({ spec, seed: 7, ...(options.faults === undefined ? {} : { faults: options.faults }) });
  const recipes = (options.recipes ?? [scenario.recipe]).map((one) => good(parseDocument(recipeSchema, one)));
  let nowS = 0;
  const wallClockMs = () => startMs + nowS * 1000;
  const journal = valueOrThrow(openJournal(options.journal ?? ':memory:', { wallClockMs }));
  const still = createStillHost({
    still: spec.still,
    recipes,
    speed: 1,
    journal,
    wallClockMs,
    monotonicMs: () => nowS * 1000,
    wordsOf: (reason) => sayReason(reason, english),
    resumed: null,
  });
  const logged: string[] = [];
  const keep = (_about: object, message: string): void => void logged.push(message);
  const log: HostLog = { info: keep, warn: keep, error: keep };
  const events: Event[] = [];
  const outlet: Outlet = {
    retain: () => undefined,
    event: () => undefined,
    passing: () => undefined,
    command: (_still, command) => site.obey([command]),
  };
  const source = sourceOf([still], journal, english, { wake: () => host.wake(), wallClockMs });
  const host = createHost({
    stills: [still],
    journal,
    outlet,
    announcer: createAnnouncer(english),
    log,
    wallClockMs,
    tickMs: 2 ** 30,
    onFault: (error) => {
      throw error;
    },
    afterTurn: () => page?.changed(still.still.id),
    onEvent: (_still, event) => {
      events.push(event);
      source.hear(still.still.id, event);
    },
  });
  let page: Page | null = null;
  page = await openPage({
    host: options.host ?? '127.0.0.1',
    port: options.port ?? 0,
    password: options.password === undefined ? null : secretOf(options.password),
    source,
    log,
  });
  host.start();
  const second = async (): Promise<void> => {
    nowS += 1;
    for (const { point, value, fault } of site.advance(1)) still.put(point, value, fault, nowS * 1000);
    host.wake();
    await new Promise((resolve) => setImmediate(() => setImmediate(resolve)));
  };
  let timer: NodeJS.Timeout | null = null;
  return {
    still,
    journal,
    site,
    page,
    source,
    events,
    logged,
    async pass(seconds, until) {
      for (let i = 0; i < seconds; i += 1) {
        await second();
        if (until?.() === true) return;
      }
    },
    runFreely(speed) {
      if (timer !== null) clearInterval(timer);
      timer = setInterval(() => void second(), 1000 / speed);
    },
    async close() {
      if (timer !== null) clearInterval(timer);
      host.stop();
      await page?.close();
      journal.close();
    },
  };
}
