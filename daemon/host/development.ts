import type { Subscription } from 'rxjs';
import { referenceHPa } from '../../lib/engine/estimate';
import type { Event, Order, Plant, Run } from '../../lib/engine/types';
import { mostJars } from '../../lib/jars';
import { shiftVapourTemp } from '../../lib/physics';
import { parseDocument } from '../../lib/problems';
import { fractions } from '../../lib/recipe/schema';
import { type JarSteps, jarStepsSchema, parsePath, textOfPayload, valueAtPath } from '../../lib/wire';
import type { Button } from '../config/development-schema';
import type { Link } from '../link';
import { createSheets } from '../page';
import type { Journal } from '../store';
import type { StillHost } from './still-host';

/** The vapour at the reference pressure [°C] when the open jar was begun; null where nobody knows. */
export type JarBegan = number | null;

/** Why the next jar is due: the step that was reached and by how much. */
export interface JarDue {
  readonly step: 'first-drop' | 'volume' | 'time' | 'temperature';
  readonly reached: number;
}

/** Jars nearer to each other than this are the noise of an instrument, not jars [s]. */
const leastJarS = 30;

function isCollecting(run: Run): boolean {
  return run.state === 'running' && (fractions as readonly string[]).includes(run.phase);
}

/** Vapour now at the reference pressure [°C]; null where vapour or air pressure is not known. */
export function vapourAtReference(plant: Plant, run: Run): number | null {
  const { vapourTempC, pressure } = run.estimate;
  if (vapourTempC === null || pressure.medianHPa === null) return null;
  const movedC = shiftVapourTemp(vapourTempC, pressure.medianHPa, referenceHPa(plant));
  return Number.isFinite(movedC) ? movedC : null;
}

/**
 * Whether the next jar is due by itself: at a volume, a time or a rise of the vapour since the jar was begun, whichever comes first.
 *
 * @param steps the steps of the configuration
 * @param began vapour at the reference pressure when the open jar was begun [°C]
 * @returns the step that was reached; null where none was, where nothing runs, or before the first jar that somebody must order
 */
export function jarDue(plant: Plant, run: Run, steps: JarSteps, began: JarBegan): JarDue | null {
  if (!isCollecting(run)) return null;
  const { jar } = run;
  const { volumeL } = run.estimate.produced;
  if (jar === null) {
    return steps.begins === 'by-itself' && volumeL > 0 ? { step: 'first-drop', reached: volumeL } : null;
  }
  const lastedS = run.now - jar.sinceS;
  if (jar.number >= mostJars || lastedS < leastJarS) return null;
  const filledL = volumeL - jar.sinceL;
  if (steps.everyL !== undefined && filledL >= steps.everyL) return { step: 'volume', reached: filledL };
  if (steps.everyS !== undefined && lastedS >= steps.everyS) return { step: 'time', reached: lastedS };
  const vapourC = vapourAtReference(plant, run);
  if (steps.everyK === undefined || vapourC === null || began === null) return null;
  return vapourC - began >= steps.everyK ? { step: 'temperature', reached: vapourC - began } : null;
}

const words: Readonly<Record<JarDue['step'], (reached: number) => string>> = {
  'first-drop': () => 'the first drop',
  volume: (reached) => `${reached.toFixed(2)} L in the jar`,
  time: (reached) => `${(reached / 60).toFixed(0)} min of the jar`,
  temperature: (reached) => `vapour risen by ${reached.toFixed(2)} K in the jar`,
};

/** Changes jars of one still by itself. */
export interface JarChanger {
  /** Before a scan: the order for the next jar, where it is due. */
  due(plant: Plant, run: Run, runId: string | null): Order | null;
}

/** What a changer of jars reads of the record. */
type JarReader = Pick<Journal, 'run' | 'readDecisions'>;

/** The steps the run was started with, else those of the configuration. */
function stepsOf(journal: JarReader, runId: string, configured: JarSteps | null): JarSteps | null {
  const run = journal.run(runId);
  const ordered = run.kind === 'ok' ? run.value.about.jars : undefined;
  if (ordered === undefined) return configured;
  const parsed = parseDocument(jarStepsSchema, ordered);
  return parsed.kind === 'ok' ? parsed.value : configured;
}

/**
 * Changes jars by the steps a run was started with, else by those of the configuration. The order goes into the record like anybody's; where the daemon was restarted within a jar, the
 * vapour at its beginning is read from there.
 */
export function createJarChanger(configured: JarSteps | null, journal: JarReader): JarChanger {
  let open: { readonly runId: string; readonly jar: number; readonly began: JarBegan } | null = null;
  let chosen: { readonly runId: string; readonly steps: JarSteps | null } | null = null;

  const beganOf = (plant: Plant, run: Run, runId: string): JarBegan => {
    const jar = run.jar?.number ?? 0;
    if (open?.runId === runId && open.jar === jar) return open.began;
    const fresh = run.jar !== null && run.now - run.jar.sinceS < leastJarS;
    // Just after a restart nothing is known of the vapour yet, though the jar be fresh.
    const began = (fresh ? vapourAtReference(plant, run) : null) ?? recordedVapour(journal, plant, runId, jar);
    open = { runId, jar, began };
    return began;
  };

  return {
    due(plant, run, runId) {
      if (runId === null || !isCollecting(run)) return null;
      if (chosen?.runId !== runId) chosen = { runId, steps: stepsOf(journal, runId, configured) };
      const { steps } = chosen;
      if (steps === null) return null;
      const found = jarDue(plant, run, steps, steps.everyK === undefined ? null : beganOf(plant, run, runId));
      if (found === null) return null;
      const number = (run.jar?.number ?? 0) + 1;
      const text = words[found.step](found.reached);
      return { id: `jar-${number}`, kind: 'next-jar', by: 'the jar step', from: 'still', text };
    },
  };
}

function recordedVapour(journal: JarReader, plant: Plant, runId: string, jar: number): JarBegan {
  let began: JarBegan = null;
  for (const kept of journal.readDecisions(runId)) {
    if (kept.kind !== 'decision' || kept.decision.kind !== 'event') continue;
    const { event } = kept.decision;
    if (event.kind === 'jar' && event.number === jar) began = atChange(plant, event);
  }
  return began;
}

function atChange(plant: Plant, { figures }: Extract<Event, { kind: 'jar' }>): JarBegan {
  const { vapourTempC, airPressureHPa } = figures;
  if (vapourTempC === null || airPressureHPa === null) return null;
  return shiftVapourTemp(vapourTempC, airPressureHPa, referenceHPa(plant));
}

const mostButtonBytes = 4096;

/**
 * Whether a message of a button is a press.
 *
 * @param payload as it arrived, anything at all
 */
export function isPress(button: Pick<Button, 'path' | 'pressed'>, payload: Uint8Array): boolean {
  const found = textOfPayload(payload, mostButtonBytes);
  if (typeof found === 'string') return false;
  const raw = valueIn(found.text, button.path);
  if (raw === undefined) return false;
  return button.pressed === undefined || raw === button.pressed || String(raw) === String(button.pressed);
}

function valueIn(text: string, path: string | undefined): unknown {
  if (path === undefined) return text.replace(/^"(.*)"$/, '$1');
  const parsed = parsePath(path);
  if (parsed.kind !== 'ok') return undefined;
  try {
    return valueAtPath(JSON.parse(text), parsed.path);
  } catch {
    return undefined;
  }
}

export interface ButtonsIn {
  readonly still: StillHost;
  readonly link: Link;
  readonly buttons: readonly Button[];
  readonly wake: () => void;
  readonly idFor: () => string;
  readonly nowMs: () => number;
  /** Whether what arrives now may have waited while the process stood still. */
  readonly isDoubtful: () => boolean;
  readonly warn: (message: string) => void;
}

/**
 * Hears the buttons of a still. A press that the broker kept is an old one and counts for nothing; presses near each other are one. A button
 * speaks over a broker, hence from anywhere: it orders only what anybody may.
 */
export function hearButtons(options: ButtonsIn): readonly Subscription[] {
  const { still, link, wake, idFor, nowMs } = options;
  return options.buttons.map((button) => {
    let pressedMs = Number.NEGATIVE_INFINITY;
    return link.messages(button.topic, 1).subscribe(({ payload, retained }) => {
      if (retained || payload === null || !isPress(button, payload)) return;
      const bounces = nowMs() - pressedMs < button.quietS * 1000;
      pressedMs = nowMs();
      if (bounces || (button.order === 'next-jar' && options.isDoubtful())) return;
      const message = { order: button.order, by: 'a button', text: button.topic };
      for (const one of still.order(message, 'remote', idFor())) options.warn(`button ${button.topic}: ${one.message}`);
      wake();
    });
  });
}

/**
 * Sees to it that a run that fills jars has a sheet to write on, page or no page. The jars themselves are decisions of the run, written with the
 * turn that made them.
 */
export function createSheetKeeper(journal: Journal) {
  const sheets = createSheets(journal, () => 1);
  return {
    /** After the turn: the record must not wait for a document. */
    hear(still: StillHost, event: Event): void {
      const { runId } = still;
      if (event.kind === 'jar' && event.number === 1 && runId !== null) setImmediate(() => sheets.begin(runId));
    },
    /** A run that was left open between its first jar and its sheet. */
    restored(still: StillHost): void {
      if (still.runId !== null && still.run.jar !== null) sheets.begin(still.runId);
    },
  };
}
