import type { Command } from './command';

interface Entry {
  readonly summary: string;
  load(): Promise<Command>;
}

/** Every command: one file each, loaded when used. */
export const commands: Readonly<Record<string, Entry>> = {
  demo: {
    summary: 'run the orchard still on a simulated charge, everything over MQTT',
    load: async () => (await import('./demo.js')).demo,
  },
  serve: { summary: 'run the stills of a configuration', load: async () => (await import('./serve.js')).serve },
  simulate: {
    summary: 'simulate a run: log as CSV, and a record',
    load: async () => (await import('./simulate.js')).simulate,
  },
  rehearse: {
    summary: 'run a recipe on a simulated still before the real one',
    load: async () => (await import('./rehearse.js')).rehearse,
  },
  check: { summary: 'check configurations, stills and recipes', load: async () => (await import('./check.js')).check },

  replay: {
    summary: 'run the engine over a recorded log or run',
    load: async () => (await import('./replay.js')).replay,
  },
  runs: {
    summary: 'the record: list and search runs, see one whole, enter what was measured',
    load: async () => (await import('./runs.js')).runs,
  },
  export: {
    summary: 'a run as CSV and JSON, for other programs and for replay',
    load: async () => (await import('./export.js')).exportRuns,
  },
  report: {
    summary: 'the report of a run as one HTML file, to read and to print',
    load: async () => (await import('./report.js')).report,
  },
  thin: {
    summary: 'drop the readings of old runs on purpose; decisions stay',
    load: async () => (await import('./thin.js')).thin,
  },
  jars: {
    summary: 'jar sheets: check, taste blind, derive a recipe, labels; what two recipes differ in',
    load: async () => (await import('./jars.js')).jars,
  },
  compare: {
    summary: 'a run beside the run its recipe came from; the trend of many runs of one recipe',
    load: async () => (await import('./compare.js')).compare,
  },
  strength: {
    summary: 'strength from temperature, alcoholometer or density; one scale to others',
    load: async () => (await import('./strength.js')).strength,
  },
  proof: {
    summary: 'reduction, bottling, pure alcohol, and what a charge should yield',
    load: async () => (await import('./proof.js')).proof,
  },
  blend: { summary: 'what parts give together', load: async () => (await import('./blend.js')).blend },
  calibrate: {
    summary: 'calibrate a probe by ice and boiling water; compare two probes',
    load: async () => (await import('./calibrate.js')).calibrate,
  },
  shift: { summary: 'move a temperature between air pressures', load: async () => (await import('./shift.js')).shift },
};
