/** State of one stream of random numbers; plain JSON, so a snapshot of the still can carry it. */
export interface Random {
  a: number;
  b: number;
  c: number;
  counter: number;
  /** Second value of the last pair of normal deviates; null when none is left. */
  spare: number | null;
}

/** Mixes text into 32 bits (FNV-1a), then avalanches so that names that differ little give seeds that differ much. */
function hashText(text: string, start: number): number {
  let hash = start;
  for (let index = 0; index < text.length; index++) {
    hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193);
  }
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return (hash ^ (hash >>> 16)) >>> 0;
}

/**
 * A stream of random numbers that belongs to one name under one seed.
 *
 * Every user (a probe, the weather, a fault) draws from its own stream, so adding one shifts no other and an old seed keeps its meaning.
 *
 * @param seed seed of the whole run [integer]
 * @param name whose stream it is, e.g. `probe/vapour-temp`
 * @returns the stream at its beginning
 * @example nextUnit(createRandom(7, 'weather'))
 * Source: sfc32 of C. Doty-Humphrey's PractRand; the first 15 numbers are thrown away, as there.
 */
export function createRandom(seed: number, name: string): Random {
  const text = `${seed}/${name}`;
  const random: Random = {
    a: hashText(text, 0x811c9dc5),
    b: hashText(text, 0x9747b28c),
    c: hashText(text, 0x3c6ef372),
    counter: 1,
    spare: null,
  };
  for (let index = 0; index < 15; index++) nextUnit(random);
  return random;
}

/** Next number, evenly spread over 0 (included) to 1 (excluded), in steps of 2⁻³². */
export function nextUnit(random: Random): number {
  const sum = (random.a + random.b + random.counter) | 0;
  random.counter = (random.counter + 1) | 0;
  random.a = random.b ^ (random.b >>> 9);
  random.b = (random.c + (random.c << 3)) | 0;
  random.c = ((random.c << 21) | (random.c >>> 11)) + sum;
  random.c |= 0;
  return (sum >>> 0) / 4294967296;
}

/** Next number evenly spread between two bounds. */
export function nextBetween(random: Random, low: number, high: number): number {
  return low + (high - low) * nextUnit(random);
}

/** Next whole number from 0 to count − 1. */
export function nextIndex(random: Random, count: number): number {
  return Math.floor(nextUnit(random) * count);
}

/** Next normal deviate, mean 0 and standard deviation 1 (Box and Muller, Ann. Math. Statist. 29 (1958) 610). */
export function nextGaussian(random: Random): number {
  if (random.spare !== null) {
    const spare = random.spare;
    random.spare = null;
    return spare;
  }
  const radius = Math.sqrt(-2 * Math.log(1 - nextUnit(random)));
  const angle = 2 * Math.PI * nextUnit(random);
  random.spare = radius * Math.sin(angle);
  return radius * Math.cos(angle);
}

/** A seed of its own for a part of a run: hand it on where a number, not a stream, is wanted. */
export function subSeed(seed: number, name: string): number {
  return hashText(`${seed}/${name}`, 0x811c9dc5);
}
