import { type ChangeoverReading, jarSchema, type SheetDocument } from '../../lib/jars/sheet';
import { consensusOf, descriptorHints } from '../../lib/jars/tasting';
import type { StoredDocument } from '../store';
import type { JarView, MeasuredView, PouringView, SheetView, TastingView } from './record-views';
import { changeover, type FilledJar } from './sheet-jars';
import { nothingSaved, savedOf } from './sheet-parts';
import type { FoundSheet } from './sheets';

/** A sheet as the page shows it: the jars of its run, or as they were typed, with what was measured and tasted. */
export function sheetView(
  id: string,
  { about, filled, open }: FoundSheet,
  parts: readonly StoredDocument[],
): SheetView {
  const jars = (filled ?? jarsByHand(parts, about.content.referenceHPa)).map((jar) => jarView(jar, parts));
  const pouring = parts.find((part) => part.id === 'pouring');
  return {
    id,
    about,
    byHand: filled === null,
    open,
    jars,
    pouring: pouring === undefined ? null : (pouring.body as PouringView),
    words: descriptorHints,
  };
}

/** Jars of a sheet without a run: as many as were typed, each ending where its label says. */
function jarsByHand(parts: readonly StoredDocument[], referenceHPa: number): readonly FilledJar[] {
  const measured = new Map(
    parts.flatMap((part): [number, MeasuredView][] => {
      const number = /^jar\/(\d+)$/.exec(part.id)?.[1];
      return number === undefined ? [] : [[Number(number), part.body as MeasuredView]];
    }),
  );
  const jars: FilledJar[] = [];
  for (let number = 1; number <= Math.max(0, ...measured.keys()); number += 1) {
    const { start, ...end } = measured.get(number) ?? {};
    const first = start === undefined ? null : readBy(start, referenceHPa);
    jars.push({ number, start: jars[number - 2]?.end ?? first, end: readBy(end, referenceHPa), countedL: null });
  }
  return jars;
}

function readBy({ vapourTempC, boilerTempC, airPressureHPa, timeS }: ChangeoverReading, referenceHPa: number) {
  const view = changeover(vapourTempC ?? null, airPressureHPa ?? null, referenceHPa, timeS ?? null);
  return boilerTempC === undefined ? view : { ...view, boilerTempC };
}

function jarView(jar: FilledJar, parts: readonly StoredDocument[]): JarView {
  const written = parts.find((part) => part.id === `jar/${jar.number}`) ?? null;
  const measured = savedOf<MeasuredView>(written) ?? nothingSaved;
  const tastings = parts
    .filter((part) => part.id.startsWith(`tasting/${jar.number}/`))
    .flatMap((part) => savedOf<TastingView>(part) ?? []);
  const whole = jarSchema.safeParse(
    jarDocument(
      jar,
      measured.content,
      tastings.map((one) => one.content),
    ),
  );
  return { ...jar, measured, tastings, consensus: whole.success ? consensusOf(whole.data) : null };
}

type JarDocument = SheetDocument['jars'][number];

function jarDocument(jar: FilledJar, measured: MeasuredView, tastings: readonly TastingView[]): JarDocument {
  const { vapourTempC: _v, boilerTempC: _b, airPressureHPa: _a, timeS: _t, start: _s, ...written } = measured;
  // What the engine counted stands in until the jar itself was measured.
  const volumeL = written.volumeL ?? (jar.countedL !== null && jar.countedL > 0 ? jar.countedL : undefined);
  const [start, end] = [readingOf(jar.start), readingOf(jar.end)];
  return {
    number: jar.number,
    ...(start === undefined ? {} : { start }),
    ...(end === undefined ? {} : { end }),
    ...written,
    ...(volumeL === undefined ? {} : { volumeL }),
    tastings: tastings.map(({ descriptors, ...tasting }) => ({ ...tasting, descriptors: [...(descriptors ?? [])] })),
  };
}

function readingOf(view: FilledJar['end']): JarDocument['end'] {
  if (view === null) return undefined;
  const { vapourAtReferenceC: _shifted, ...read } = view;
  return Object.keys(read).length === 0 ? undefined : read;
}

/** The sheet as one document, for deriving a recipe and for export; null while its charge is not known. */
export function sheetDocument({ id, about, byHand, jars }: SheetView): SheetDocument | null {
  const { chargeL, chargeVolPercent, chargeWhat, stillId, stillName, stillKind, holdUpL } = about.content;
  const { name, run, startedAt, heaterW, resolutionK, accuracyK, altitudeM, strengthReading, foreshotsJars } =
    about.content;
  if (chargeL === undefined || chargeVolPercent === undefined) return null;
  return withoutGaps({
    sheet: 1,
    name,
    // A recipe that comes from it names it, as it would name a run.
    run: run ?? (byHand ? id : undefined),
    startedAt,
    still: withoutGaps({ id: stillId, name: stillName, kind: stillKind, holdUpL }),
    charge: withoutGaps({ volumeL: chargeL, strengthVolPercent: chargeVolPercent, what: chargeWhat }),
    heaterW,
    // Changeovers of a run are corrected readings: the calibration is in them already.
    probe: withoutGaps({ resolutionK, accuracyK }),
    airPressure: withoutGaps({ basis: 'station', altitudeM }),
    strength: strengthReading === undefined ? undefined : { reading: strengthReading },
    foreshotsJars,
    jars: jars.map((jar) =>
      jarDocument(
        jar,
        jar.measured.content,
        jar.tastings.map((one) => one.content),
      ),
    ),
  }) as SheetDocument;
}

function withoutGaps<T extends object>(fields: T): Partial<T> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as Partial<T>;
}
