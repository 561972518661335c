import { describe, expect, it } from 'vitest';
import { dewTempC, shiftVapourTemp, standardPressureHPa } from '../../lib/physics';
import { balanceOf, createStill, fractionsOf } from '../../simulators/model';
import { scenarios, specOf } from '../../simulators/scenarios';
import { boiling, calm, on, pass, still } from './sim-still';

describe('simulated pot: a run', () => {
  it('shows the room at the head until vapour comes, then the vapour within a minute', () => {
    const state = still();
    let beforeC = Number.NaN;
    const seconds = pass(state, 6000, on(), {}, () => {
      if (state.head.flowMolPerS > 0) return true;
      beforeC = state.head.tempC;
      return false;
    });
    expect(seconds).toBeGreaterThan(2400);
    expect(seconds).toBeLessThan(4500);
    expect(state.boiler.tempC).toBeGreaterThan(80);
    expect(beforeC).toBeCloseTo(18, 3);
    pass(state, 60);
    expect(Math.abs(state.head.tempC - state.head.vapourTempC)).toBeLessThan(0.3);
  });

  it('comes first with richer, cooler vapour from the cold head', () => {
    const state = still();
    pass(state, 6000, on(), {}, () => state.head.flowMolPerS > 0.01);
    const first = state.head.y;
    pass(state, 300);
    expect(first).toBeGreaterThan(state.head.y + 0.02);
  });

  it('has vapour on the dew line of its pressure: 1.3 K lower at 420 m than the same vapour at sea level', () => {
    const state = boiling({ site: { ...calm, altitudeM: 420 } });
    expect(state.airHPa).toBeCloseTo(standardPressureHPa(420), 6);
    expect(Math.abs(state.head.vapourTempC - dewTempC(state.head.y, state.head.pressureHPa))).toBeLessThan(0.005);
    const atSeaLevelC = shiftVapourTemp(state.head.vapourTempC, state.airHPa, 1013.25);
    expect(atSeaLevelC - state.head.vapourTempC).toBeGreaterThan(1.2);
    expect(atSeaLevelC - state.head.vapourTempC).toBeLessThan(1.4);
  });

  it('refluxes more of its vapour at low heat, and gives a stronger spirit', () => {
    const full = boiling();
    const low = boiling();
    pass(low, 600, on({ heat: { heat: 0.4 } }));
    pass(full, 600);
    expect(low.head.y).toBeGreaterThan(full.head.y);
    expect(low.head.flowMolPerS / low.boiledMolPerS).toBeLessThan(0.75);
    expect(full.head.flowMolPerS / full.boiledMolPerS).toBeGreaterThan(0.82);
  });

  it('holds back the spout’s volume before anything reaches a receiver', () => {
    const state = boiling();
    const holdUpL = state.spec.still.spout.holdUpL;
    expect(state.spout.lineL).toBeCloseTo(holdUpL, 2);
    const direct = still({ charge: { volumeL: 50, strengthAbv: 0.3, tempC: 70 } });
    pass(direct, 3000, on(), {}, () => direct.totals.productEthanolMol > 0);
    expect(direct.spout.dischargedL).toBe(0);
    pass(direct, 600, on(), {}, () => direct.spout.dischargedL > 0);
    expect(direct.spout.lineL).toBeGreaterThan(0.9 * holdUpL);
  });

  it('switches receivers and keeps what is in each', () => {
    const state = boiling();
    const before = fractionsOf(state)['feints-can']!;
    pass(state, 600, on({ receivers: { 'hearts-can': 1 } }));
    const after = fractionsOf(state);
    expect(after['feints-can']).toEqual(before);
    expect(after['hearts-can']!.volumeL).toBeGreaterThan(1.5);
    expect(after['hearts-can']!.strengthAbv).toBeGreaterThan(0.7);
    expect(after['hearts-can']!.alcoholL).toBeCloseTo(
      after['hearts-can']!.volumeL * after['hearts-can']!.strengthAbv,
      2,
    );
  });

  it('runs over when a receiver is full, and counts what is lost', () => {
    const state = boiling();
    pass(state, 3600, on({ receivers: { 'heads-jar': 1 } }), { ballastL: { 'heads-jar': 1 } });
    const jar = fractionsOf(state)['heads-jar']!;
    expect(jar.volumeL).toBeCloseTo(2, 6);
    expect(jar.spilledL).toBeGreaterThan(4);
    expect(Math.abs(balanceOf(state).spoutEthanolShare)).toBeLessThan(1e-9);
  });

  it('foams over when over-full and driven hard, and not when filled as it should be', () => {
    const body = { foamShare: 0.5 };
    const full = boiling({ charge: { volumeL: 60 }, body });
    const fair = boiling({ charge: { volumeL: 45 }, body });
    expect(full.spout.line.at(-1)!.ethanolMol / full.spout.line.at(-1)!.waterMol).toBeLessThan(
      0.75 * (fair.spout.line.at(-1)!.ethanolMol / fair.spout.line.at(-1)!.waterMol),
    );
  });
});

describe('simulated pot: boiling points', () => {
  it('raises the boiler, not the vapour, by superheat and by solids, more as it empties', () => {
    const plain = boiling();
    const sugary = boiling({ charge: { solidsRiseK: 0.5 }, body: { superheatK: 0.3 } });
    expect(sugary.boiler.tempC - plain.boiler.tempC).toBeGreaterThan(0.75);
    expect(Math.abs(sugary.head.vapourTempC - plain.head.vapourTempC)).toBeLessThan(0.05);
    const before = sugary.boiler.tempC - sugary.boiler.equilibrium.tempC;
    pass(sugary, 7200);
    expect(sugary.boiler.tempC - sugary.boiler.equilibrium.tempC).toBeGreaterThan(before + 0.1);
  });

  it('stands under its own back-pressure, which goes as the square of the flow', () => {
    const full = boiling({ tower: { dropHPa: 40 } });
    const aboveHPa = full.boilerHPa - full.airHPa;
    expect(aboveHPa).toBeGreaterThan(20);
    const boiledBefore = full.boiledMolPerS;
    pass(full, 600, on({ heat: { heat: 0.5 } }));
    const ratio = full.boiledMolPerS / boiledBefore;
    expect((full.boilerHPa - full.airHPa) / aboveHPa).toBeCloseTo(ratio * ratio, 2);
  });

  it('lets light heads compounds pull the first vapour below the azeotrope, in a column far below', () => {
    const column = createStill(specOf(scenarios['column-spirit'], { site: { ...calm, altitudeM: 0 } }), 1);
    const total = on({ takeOffShare: 0 });
    pass(column, 8000, total);
    expect(column.head.vapourTempC).toBeLessThan(77.5);
    pass(column, 3 * 3600, on({ takeOffShare: 0.3 }));
    expect(column.head.vapourTempC).toBeGreaterThan(78.0);
    expect(column.head.vapourTempC).toBeLessThan(78.4);
  });
});

describe('simulated column: take-off', () => {
  it('gives nothing at total reflux and strong spirit when taken off slowly', () => {
    const state = still({}, 'column-spirit');
    pass(state, 7200, on({ takeOffShare: 0 }));
    expect(state.spout.dischargedL).toBe(0);
    pass(state, 3600, on({ takeOffShare: 0.5 }));
    expect(state.spout.flowLPerH).toBeCloseTo(1.5, 1);
    expect(fractionsOf(state)['feints-can']!.strengthAbv).toBeGreaterThan(0.94);
  });

  it('weakens when more is taken off than it can enrich', () => {
    const strong = still({ tower: { stages: 4 } }, 'column-spirit');
    const weak = still({ tower: { stages: 4 } }, 'column-spirit');
    for (const state of [strong, weak]) pass(state, 7200, on({ takeOffShare: 0 }));
    pass(strong, 3600, on({ takeOffShare: 0.2 }));
    pass(weak, 3600, on({ takeOffShare: 1 }));
    expect(strong.head.y).toBeGreaterThan(weak.head.y + 0.01);
  });

  it('raises the boiler and lowers the head while reflux is raised, which is no dry boil', () => {
    const state = still({}, 'column-spirit');
    pass(state, 7200, on({ takeOffShare: 0 }));
    pass(state, 20_000, on({ takeOffShare: 1 }));
    const before = { boilerC: state.boiler.tempC, headC: state.head.vapourTempC };
    pass(state, 1200, on({ takeOffShare: 0.1 }));
    expect(state.boiler.tempC).toBeGreaterThan(before.boilerC);
    expect(state.head.vapourTempC).toBeLessThan(before.headC + 0.01);
  });
});

describe('simulated weather', () => {
  it('wanders within a few hPa, passes a front, and is the same for the same seed', () => {
    const site = {
      weather: { offsetHPa: 5, wanderHPaPerRootH: 0.6, front: { atS: 7200, changeHPa: -9, widthS: 1800 } },
    };
    const run = (seed: number) => {
      const state = createStill(specOf(scenarios['pot-spirit'], { tracers: false, site }), seed);
      const off = on({ heat: { heat: 0 } });
      const values: number[] = [];
      for (let index = 0; index < 24; index++) {
        pass(state, 600, off);
        values.push(state.airHPa);
      }
      return values;
    };
    const first = run(1);
    expect(run(1)).toEqual(first);
    expect(run(2)).not.toEqual(first);
    const fall = first[0]! - first.at(-1)!;
    expect(fall).toBeGreaterThan(4);
    expect(fall).toBeLessThan(13);
    const expected = standardPressureHPa(420) * (1 + 5 / 1013.25);
    expect(Math.abs(first[0]! - expected)).toBeLessThan(2);
  });
});
