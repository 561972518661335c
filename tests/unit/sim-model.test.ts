import { describe, expect, it } from 'vitest';
import { dewTempC, shiftVapourTemp, standardPressureHPa } from '../../lib/physics';
import {
  type Actuators,
  balanceOf,
  createStill,
  fractionsOf,
  type StillOptions,
  type StillState,
  step,
  undisturbed,
  type World,
} from '../../simulators/model';
import { type ScenarioName, scenarios, specOf } from '../../simulators/scenarios';

const calm = { weather: { offsetHPa: 0, wanderHPaPerRootH: 0, front: null } };

function still(options: StillOptions = {}, name: ScenarioName = 'pot-spirit'): StillState {
  return createStill(specOf(scenarios[name], { tracers: false, site: calm, ...options }), 1);
}

function on(over: Partial<Actuators> = {}): Actuators {
  return {
    heat: { heat: 1 },
    contactorClosed: true,
    coolantShare: 1,
    takeOffShare: 1,
    receivers: { 'feints-can': 1 },
    ...over,
  };
}

/** Runs for some seconds, or until something has happened; the seconds it took. */
function pass(
  state: StillState,
  seconds: number,
  actuators: Actuators = on(),
  world: Partial<World> = {},
  until: () => boolean = () => false,
): number {
  const all = { ...undisturbed(), ...world };
  for (let second = 1; second <= seconds; second++) {
    step(state, actuators, all, 1);
    if (until()) return second;
  }
  return seconds;
}

/** A pot that has been boiling for a while. */
function boiling(options: StillOptions = {}): StillState {
  const state = still({ ...options, charge: { volumeL: 50, strengthAbv: 0.3, tempC: 70, ...options.charge } });
  pass(state, 1800);
  expect(state.head.flowMolPerS).toBeGreaterThan(0.05);
  return state;
}

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

describe('simulated still: hazards', () => {
  it('coolant lost: product passes 30 °C within one to three minutes, 40 °C soon after, vapour escapes; the outlet probe cools', () => {
    const state = boiling();
    const outletC = state.condenser.outletC;
    const to30 = pass(state, 400, on(), { coolantSupplyShare: 0 }, () => state.condenser.productC > 30);
    expect(to30).toBeGreaterThan(45);
    expect(to30).toBeLessThan(180);
    const to40 = pass(state, 400, on(), { coolantSupplyShare: 0 }, () => state.condenser.productC > 40);
    expect(to40).toBeLessThan(60);
    pass(state, 600, on(), { coolantSupplyShare: 0 });
    expect(state.condenser.outletC).toBeLessThan(outletC);
    expect(state.totals.escapedEthanolMol).toBeGreaterThan(1);
    expect(state.gasShare).toBeGreaterThan(0.2);
    expect(Math.abs(balanceOf(state).energyShare)).toBeLessThan(1e-9);
  });

  it('coolant back: everything condenses again', () => {
    const state = boiling();
    pass(state, 600, on(), { coolantSupplyShare: 0 });
    pass(state, 600);
    const escaped = state.totals.escapedEthanolMol;
    pass(state, 600);
    expect(state.totals.escapedEthanolMol).toBe(escaped);
    expect(state.condenser.productC).toBeLessThan(20);
  });

  it('vapour path blocked: pressure climbs in minutes to the relief valve, nothing comes over, the boiler passes its bubble point', () => {
    const state = boiling();
    const before = state.boiler.tempC;
    const seconds = pass(state, 1200, on(), { pathOpenShare: 0 }, () => state.boilerHPa - state.airHPa > 70);
    expect(seconds).toBeGreaterThan(20);
    expect(seconds).toBeLessThan(300);
    const over = state.totals.productEthanolMol;
    pass(state, 600, on(), { pathOpenShare: 0 });
    expect(state.totals.productEthanolMol - over).toBeLessThan(0.05);
    expect(state.boiler.tempC).toBeGreaterThan(before + 2);
    expect(state.boilerHPa - state.airHPa).toBeCloseTo(100, 3);
    expect(state.totals.escapedEthanolMol).toBeGreaterThan(0);
  });

  it('half-blocked path: the pressure settles at the square of the flow', () => {
    const state = boiling();
    pass(state, 600, on(), { pathOpenShare: 0.1 });
    const behindHPa = state.head.pressureHPa - state.airHPa;
    expect(behindHPa / (0.3 * 100 * (state.boiledMolPerS / 0.125) ** 2)).toBeCloseTo(1, 2);
  });

  it('element bared: its skin gains some 5 K a second, and the liquid nothing', () => {
    const state = boiling({ charge: { volumeL: 10 } });
    const seconds = pass(state, 300, on(), { drainLPerH: 3000 }, () => state.coveredShare === 0);
    expect(seconds).toBeLessThan(20);
    const before = state.sources.heat!.tempC;
    const liquidC = state.boiler.tempC;
    pass(state, 10);
    expect((state.sources.heat!.tempC - before) / 10).toBeGreaterThan(3.5);
    expect((state.sources.heat!.tempC - before) / 10).toBeLessThan(5.2);
    expect(state.boiler.tempC).toBeLessThanOrEqual(liquidC);
  });

  it('scorched element: the skin runs hot while everything else looks well', () => {
    const state = boiling();
    const skinK = state.sources.heat!.tempC - state.boiler.tempC;
    expect(skinK).toBeGreaterThan(4);
    expect(skinK).toBeLessThan(12);
    const flow = state.head.flowMolPerS;
    pass(state, 300, on(), { fouledShare: 0.92 });
    expect(state.sources.heat!.tempC - state.boiler.tempC).toBeGreaterThan(70);
    expect(state.head.flowMolPerS / flow).toBeGreaterThan(0.85);
  });

  it('leak: vapour is lost to the room and the detector sees it in minutes', () => {
    const state = boiling();
    const seconds = pass(state, 600, on(), { leakShare: 0.15 }, () => state.gasShare > 0.2);
    expect(seconds).toBeGreaterThan(10);
    expect(seconds).toBeLessThan(400);
    pass(state, 3600);
    expect(state.gasShare).toBeLessThan(0.001);
  });

  it('puking: the vapour probe jumps by kelvins within seconds and the spirit weakens', () => {
    const state = boiling();
    const before = { tempC: state.head.tempC, line: state.spout.line.at(-1)! };
    const strength = before.line.ethanolMol / (before.line.ethanolMol + before.line.waterMol);
    pass(state, 15, on(), { pukeShare: 0.6 });
    expect(state.head.tempC).toBeGreaterThan(before.tempC + 1);
    pass(state, 30, on(), { pukeShare: 0.6 });
    const line = state.spout.line.at(-1)!;
    expect(line.ethanolMol / (line.ethanolMol + line.waterMol)).toBeLessThan(strength - 0.05);
  });

  it('all receivers closed: the condenser backs up and the closed still is sealed; with an open vent it runs over instead', () => {
    const closed = on({ receivers: {} });
    const vented = boiling();
    expect(vented.spec.still.vent.unvalved).toBe(true);
    pass(vented, 1200, closed);
    expect(vented.spout.overrun.volumeL).toBeGreaterThan(1);
    expect(vented.boilerHPa - vented.airHPa).toBeLessThan(2);
    const spec = specOf(scenarios['pot-spirit'], { tracers: false, site: calm, charge: { volumeL: 50, tempC: 70 } });
    const sealed = createStill(
      { ...spec, still: { ...spec.still, vent: { unvalved: false, feintsPathFailsOpen: false } } },
      1,
    );
    pass(sealed, 1800);
    pass(sealed, 1200, closed);
    expect(sealed.boilerHPa - sealed.airHPa).toBeGreaterThan(70);
    expect(sealed.spout.overrun.volumeL).toBe(0);
    const cooling = on({ heat: { heat: 0 }, receivers: {} });
    pass(sealed, 3600, cooling);
    expect(sealed.boilerHPa - sealed.airHPa).toBeCloseTo(-30, 6);
  });

  it('heat off: an element stops the vapour in seconds, a steam jacket runs on for a quarter of an hour', () => {
    const off = on({ heat: { heat: 0 } });
    const electric = boiling();
    const electricS = pass(electric, 3600, off, {}, () => electric.boiledMolPerS < 0.004);
    expect(electricS).toBeLessThan(20);
    const spec = specOf(scenarios['pot-spirit'], { tracers: false, site: calm, charge: { volumeL: 50, tempC: 70 } });
    const heat = { ...spec.still.drives.heat!, source: 'steam' } as (typeof spec.still.drives)[string];
    const steam = createStill(
      specOf(
        { ...scenarios['pot-spirit'], still: { ...scenarios['pot-spirit'].still, drives: { heat } } },
        {
          tracers: false,
          site: calm,
          charge: { volumeL: 50, tempC: 70 },
        },
      ),
      1,
    );
    pass(steam, 3600);
    const boiled = steam.boiledMolPerS;
    const steamS = pass(steam, 3600, off, {}, () => steam.boiledMolPerS < 0.05 * boiled);
    expect(steamS).toBeGreaterThan(400);
    expect(steamS).toBeLessThan(1500);
  });

  it('power cut: an electric heat dies, a second contactor kills a welded one', () => {
    const state = boiling();
    pass(state, 60, on(), { mainsOn: false });
    expect(state.powerW).toBe(0);
    pass(state, 60, on({ contactorClosed: false }));
    expect(state.powerW).toBe(0);
  });

  it('boiled nearly dry: it stays finite and its element is bare', () => {
    const state = still({ charge: { volumeL: 12, strengthAbv: 0.05, tempC: 60 } });
    pass(state, 5 * 3600);
    expect(state.boilerL).toBeLessThan(state.spec.body.elementTopL);
    expect(state.sources.heat!.tempC).toBeGreaterThan(150);
    expect(state.sources.heat!.tempC).toBeLessThan(700);
    expect(Math.abs(balanceOf(state).energyShare)).toBeLessThan(1e-9);
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
