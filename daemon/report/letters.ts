/** A, B, … Z, AA, AB, …: the name of the change of phase of this number, from 0. */
export function letterOf(index: number): string {
  const last = String.fromCharCode(65 + (index % 26));
  return index < 26 ? last : letterOf(Math.floor(index / 26) - 1) + last;
}
