import type { Reason } from '../engine/types';
import type { Derivation, DerivedVariant } from './derive';
import { type SheetFigures, strengthOfVapour } from './figures';
import type { Sharpness } from './sharpness';
import { descriptorHints } from './tasting';

/** A jar holds at most this much of the charge's alcohol, half of it near the cuts. */
export const mostJarSharePercent = 5;
const fewestJars = 20;
/** A cut by temperature that moves by more than this of the charge's alcohol is worth a warning. */
const bluntSharePercent = 3;

/**
 * What to do better in the next development run: smaller jars where the cuts are, what to measure, what to taste again.
 *
 * @param derived a derivation
 * @returns advice as data, the most useful first
 */
export function adviseNextRun(derived: Derivation): readonly Reason[] {
  const { figures } = derived;
  return [
    ...derived.variants.flatMap((variant) => smallerJars(figures, variant)),
    ...wideJars(figures, derived.variants),
    ...doubtful(figures),
    ...strangeWords(figures),
    ...measuring(derived),
  ];
}

function smallerJars(figures: SheetFigures, variant: DerivedVariant): Reason[] {
  const { firstJar, lastJar } = variant.selection;
  const sides: readonly (readonly ['heads' | 'tails', number, number])[] = [
    ['heads', firstJar - 1, firstJar],
    ['tails', lastJar, lastJar + 1],
  ];
  return sides.flatMap(([cut, before, after]) => {
    const near = figures.jars.filter((jar) => jar.number === before || jar.number === after);
    const widest = Math.max(0, ...near.map((jar) => jar.sharePercent ?? 0));
    if (widest <= 0.55 * mostJarSharePercent) return [];
    const width = near.find((jar) => jar.sharePercent === widest)!;
    const wanted = mostJarSharePercent / 2;
    const from = figures.changeovers[Math.max(0, before - 2)];
    const to = figures.changeovers[Math.min(figures.jars.length, after + 1)];
    const numbers = {
      cut,
      variant: variant.variant,
      jarSharePercent: widest,
      wantedSharePercent: wanted,
      wantedL: ((width.volumeL ?? 0) * wanted) / widest,
      fromSharePercent: from?.sharePercent ?? 0,
      toSharePercent: to?.sharePercent ?? 100,
    };
    const fromC = from?.vapourAtReferenceC;
    const toC = to?.vapourAtReferenceC;
    return fromC == null || toC == null
      ? [{ code: 'jars.advice-smaller-jars-share', numbers }]
      : [{ code: 'jars.advice-smaller-jars', numbers: { ...numbers, fromC, toC } }];
  });
}

function wideJars(figures: SheetFigures, variants: readonly DerivedVariant[]): Reason[] {
  const found: Reason[] = [];
  const wide = figures.jars.filter((jar) => (jar.sharePercent ?? 0) > 1.1 * mostJarSharePercent);
  if (wide.length > 0) {
    const numbers = { jars: wide.map((jar) => jar.number).join(', '), mostSharePercent: mostJarSharePercent };
    found.push({ code: 'jars.advice-wide-jars', numbers });
  }
  if (figures.jars.length < fewestJars) {
    found.push({ code: 'jars.advice-more-jars', numbers: { jars: figures.jars.length, wanted: fewestJars } });
  }
  if (variants.some((variant) => variant.selection.lastJar === figures.jars.length)) {
    found.push({ code: 'jars.advice-collect-on', numbers: { jar: figures.jars.length } });
  }
  return found;
}

function doubtful(figures: SheetFigures): Reason[] {
  return figures.jars.flatMap(({ number, consensus }): Reason[] => {
    if (consensus.verdict === 'unsure') return [{ code: 'jars.advice-decide', numbers: { jar: number } }];
    if (consensus.agreement === null || consensus.agreement > 0.4 || consensus.decidedBy === 'decision') return [];
    const said = consensus.dissent.map((one) => `${one.taster}: ${one.verdict}`).join(', ');
    return [{ code: 'jars.advice-disagreement', numbers: { jar: number, verdict: consensus.verdict, dissent: said } }];
  });
}

/** A jar that is in though most tasters' words for it point elsewhere. */
function strangeWords(figures: SheetFigures): Reason[] {
  return figures.jars.flatMap(({ number, verdict, consensus }): Reason[] => {
    if (verdict !== 'in') return [];
    const words = consensus.descriptors.filter(({ word }) => {
      const hint = descriptorHints[word];
      return hint === 'heads' || hint === 'tails';
    });
    const hearty = consensus.descriptors.filter(({ word }) => descriptorHints[word] === 'hearts');
    if (words.length === 0 || hearty.length >= words.length) return [];
    return [{ code: 'jars.advice-words', numbers: { jar: number, words: words.map((one) => one.word).join(', ') } }];
  });
}

function worstCause(sharpness: Sharpness): string | null {
  const parts = [...sharpness.byTemperature.parts].sort((a, b) => (b.kelvin ?? 0) - (a.kelvin ?? 0));
  return parts[0]?.cause ?? null;
}

function measuring(derived: Derivation): Reason[] {
  const { figures, making } = derived;
  const found: Reason[] = [];
  const unmeasured = figures.jars.filter((jar) => jar.strengthBy !== 'measured');
  if (unmeasured.length > 0) {
    found.push({
      code: 'jars.advice-measure-strength',
      numbers: { jars: unmeasured.map((jar) => jar.number).join(', ') },
    });
  }
  for (const { variant, cuts, heads, tails } of derived.variants) {
    const byTemperature = [
      ...(making.headsBy === 'temperature' && cuts.selection.firstJar > 1 ? [['heads', heads] as const] : []),
      ...(making.tailsBy !== 'share' ? [['tails', tails] as const] : []),
    ];
    for (const [cut, sharpness] of byTemperature) {
      const { kelvin, sharePercent, volumeL } = sharpness.byTemperature;
      if (sharePercent !== null && sharePercent <= bluntSharePercent) continue;
      const numbers = { cut, variant, cause: worstCause(sharpness) ?? '', kelvinK: kelvin ?? 0 };
      found.push(
        sharePercent === null || volumeL === null
          ? { code: 'jars.caution-temperature-silent', numbers }
          : { code: 'jars.caution-temperature-blunt', numbers: { ...numbers, sharePercent, volumeL } },
      );
    }
  }
  return found;
}

/** What anybody who uses the recipe should have read. */
export function cautionsOf(derived: Derivation): readonly Reason[] {
  const { fit, figures } = derived;
  const found: Reason[] = [
    { code: 'jars.caution-methanol', numbers: {} },
    { code: 'jars.caution-not-safety', numbers: {} },
    { code: 'jars.caution-prediction', numbers: {} },
  ];
  if (fit === null) found.push({ code: 'jars.caution-column', numbers: {} });
  else if (fit.basis === 'assumed') {
    found.push({ code: 'jars.caution-assumed-reflux', numbers: { distanceK: fit.distanceK ?? 0 } });
  }
  if (figures.sheet.still.holdUpL > 0) {
    found.push({ code: 'jars.caution-hold-up', numbers: { holdUpL: figures.sheet.still.holdUpL } });
  }
  const { heaterW } = figures.sheet;
  if (derived.making.heatShare === null) {
    found.push(
      heaterW === undefined
        ? { code: 'jars.caution-heat-unknown', numbers: {} }
        : { code: 'jars.caution-heat-full', numbers: { heaterW } },
    );
  }
  const guessed = shareByVapour(figures);
  if (guessed !== null && Math.abs(guessed) > 3) {
    found.push({ code: 'jars.caution-strength-by-vapour', numbers: { apartPercent: guessed } });
  }
  return found;
}

/**
 * How far the alcohol counted by vapour temperature lies from the alcohol measured in the jars [% of it]; null where it can't be told. The engine
 * counts by vapour where no parrot is read.
 */
export function shareByVapour(figures: SheetFigures): number | null {
  let measured = 0;
  let byVapour = 0;
  for (const [index, jar] of figures.jars.entries()) {
    const start = figures.changeovers[index]?.vapourAtReferenceC;
    const end = figures.changeovers[index + 1]?.vapourAtReferenceC;
    if (jar.strengthBy !== 'measured' || jar.alcoholL === null || start == null || end == null) continue;
    measured += jar.alcoholL;
    byVapour += (jar.volumeL ?? 0) * strengthBetween(start, end, figures.referenceHPa);
  }
  return measured > 0 ? (100 * (byVapour - measured)) / measured : null;
}

function strengthBetween(startC: number, endC: number, referenceHPa: number): number {
  return (strengthOfVapour(startC, referenceHPa) + strengthOfVapour(endC, referenceHPa)) / 2;
}
