import type { Input, Reading } from '../../lib/engine/types';

/** A small generator with a known sequence, so that every measurement is of the same readings (Park and Miller, 1988). */
export function randomOf(seed: number): () => number {
  let state = (seed % 2147483646) + 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** Sum of twelve: near enough to normal, σ = 1. */
function normalOf(random: () => number): () => number {
  return () => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += random();
    return sum;
  };
}

const step = (value: number, size: number): number => Math.round(value / size) * size;

export interface Stillroom {
  /** Grid of the arrival clock [s]; 0 for a clock of full resolution. */
  readonly clockS: number;
  /** Readings of one second as one scan instead of a scan each. */
  readonly together: boolean;
}

/**
 * A run as a stillroom sends it: five points a second, each at its own moment of the second with some milliseconds of jitter.
 * Temperatures in steps of 0.0625 K with σ 0.15 K, air pressure in 0.1 hPa, heat in whole watts; one message in 500 is lost,
 * and a second without any is a tick.
 */
export function* stillroomInputs(seconds: number, seed: number, room: Stillroom): Generator<Input> {
  const random = randomOf(seed);
  const normal = normalOf(random);
  const names = ['vapour', 'boiler', 'product', 'barometer', 'heat-power'];
  const phaseS = names.map(() => random());
  const clock = (timeS: number): number =>
    room.clockS === 0 ? timeS : Math.round(timeS / room.clockS) / Math.round(1 / room.clockS);
  let airHPa = 985 + 20 * random();
  for (let second = 0; second < seconds; second++) {
    const share = second / seconds;
    airHPa += 0.01 * normal();
    const value = [
      step(78 + 17 * share * share + 0.15 * normal(), 0.0625),
      step(84 + 14 * share + 0.15 * normal(), 0.0625),
      step(18 + 3 * share + 0.15 * normal(), 0.0625),
      Math.round((airHPa + 0.05 * normal()) * 10) / 10,
      Math.round(3500 + 15 * normal()),
    ];
    const readings: Reading[] = names.flatMap((point, i) =>
      random() < 0.002
        ? []
        : [{ point, value: value[i] ?? 0, atS: clock(second + (phaseS[i] ?? 0) + Math.abs(0.004 * normal())) }],
    );
    readings.sort((a, b) => a.atS - b.atS);
    const ends = readings.at(-1)?.atS ?? clock(second + 1);
    if (readings.length === 0 || room.together) yield { now: ends, readings, orders: [] };
    else for (const reading of readings) yield { now: reading.atS, readings: [reading], orders: [] };
  }
}
