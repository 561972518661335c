import type { PhaseChange } from '../../lib/replay/replay';
import { english, sayName, sayReason, showTemperature } from '../../lib/words';
import { clock, table } from './table';

/** A phase change as the JSON array holds it. */
export function plain(change: PhaseChange) {
  return {
    atS: change.atS,
    from: change.from,
    to: change.to,
    reason: sayReason(change.reason, english),
    asked: change.asked,
    vapourTempC: change.figures.vapourTempC,
    thresholdHereC: change.figures.thresholdHereC,
    thresholdAtReferenceC: change.figures.thresholdAtReferenceC,
    airPressureHPa: change.figures.airPressureHPa,
  };
}

/** Phase changes as a table: time, phase, reading, threshold here and at the reference pressure, pressure, why. */
export function showChanges(changes: readonly PhaseChange[]): string {
  const temperature = (value: number | null) => (value === null ? '–' : showTemperature(value, english));
  const rows = changes.map(({ figures, ...change }) => [
    clock(change.atS),
    `${sayName(change.from, english)} → ${sayName(change.to, english)}`,
    temperature(figures.vapourTempC),
    temperature(figures.thresholdHereC),
    temperature(figures.thresholdAtReferenceC),
    figures.airPressureHPa === null ? '–' : `${figures.airPressureHPa.toFixed(1)} hPa`,
    `${change.asked ? 'asked and accepted: ' : ''}${sayReason(change.reason, english)}`,
  ]);
  return table(['time', 'phase', 'vapour', 'limit here', 'at reference', 'air', 'why'], rows, [1, 6]);
}
