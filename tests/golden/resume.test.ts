import { describe, expect, it } from 'vitest';
import { caseNamed, drawTrial } from '../faults/draw';
import { runTrial } from '../faults/run-trial';

/** The lines of a run told, and what its first re-heat after a hold sent away before it was back [L]. */
function tellOf(name: string, seed: number) {
  const lines: string[] = [];
  const { failures, end } = runTrial(drawTrial(caseNamed(name), seed), { tell: (line) => lines.push(line) });
  const back = lines.find((line) => line.includes('resume.back'));
  const purgedL = Number(back?.match(/"purgedL":([\d.]+)/)?.[1]);
  return { lines, purgedL, failures, end };
}

/* Seeds whose re-heat once went on for litres, because the vapour it waited for had never been there. */
describe('a resumed run is back once the vapour is what it was', () => {
  it('scan late 39: a slope drawn out over 97 s sent 2.66 L of a 0.3 L cut into the heads jar', () => {
    const { purgedL, failures, end } = tellOf('scan late', 39);
    expect({ failures, end }).toEqual({ failures: [], end: 'finished' });
    expect(purgedL).toBeLessThan(0.4);
  });

  it('swapped probes 70: the boiler, taken for the vapour before it was found out, sent 2.63 L of hearts to feints', () => {
    const { purgedL, failures, end } = tellOf('swapped probes', 70);
    expect({ failures, end }).toEqual({ failures: [], end: 'finished' });
    expect(purgedL).toBeLessThan(0.4);
  });

  it('swapped probes 10: a boiler probe in the place of the vapour was liquid carried over, and somebody cut to tails for it', () => {
    const { lines } = tellOf('swapped probes', 10);
    expect(lines.filter((line) => /surge\.|puking/.test(line))).toEqual([]);
  });
});
