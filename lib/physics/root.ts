/**
 * Root of a continuous function that changes sign between two points: secant steps kept inside a shrinking bracket.
 *
 * @returns the root, to the last bit the function supports; an end of the bracket when both ends have the same sign there
 */
export function findRoot(errorAt: (value: number) => number, from: number, to: number): number {
  let low = from;
  let high = to;
  let lowError = errorAt(low);
  let highError = errorAt(high);
  if (lowError === 0) return low;
  if (highError === 0) return high;
  if (lowError > 0 === highError > 0) return Math.abs(lowError) < Math.abs(highError) ? low : high;
  let width = high - low;
  for (let step = 0; step < 100; step++) {
    const secant = high - (highError * (high - low)) / (highError - lowError);
    // A secant that has not halved the bracket in two steps would creep; a midpoint breaks that.
    const creeping = step % 3 === 2 && high - low > width / 2;
    if (step % 3 === 2) width = high - low;
    const middle = creeping || !(secant > low && secant < high) ? (low + high) / 2 : secant;
    if (middle === low || middle === high) break;
    const error = errorAt(middle);
    if (error === 0) return middle;
    if (error > 0 === highError > 0) {
      high = middle;
      highError = error;
      lowError /= 2;
    } else {
      low = middle;
      lowError = error;
      highError /= 2;
    }
  }
  return Math.abs(errorAt(low)) <= Math.abs(errorAt(high)) ? low : high;
}
