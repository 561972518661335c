import type { Command } from './command';

interface Entry {
  readonly summary: string;
  load(): Promise<Command>;
}

/** Every command: one file each, loaded when used. */
export const commands: Readonly<Record<string, Entry>> = {
  serve: { summary: 'run the stills of a configuration', load: async () => (await import('./serve.js')).serve },
  check: { summary: 'check configurations, stills and recipes', load: async () => (await import('./check.js')).check },

  replay: {
    summary: 'run the engine over a recorded log or run',
    load: async () => (await import('./replay.js')).replay,
  },
};
