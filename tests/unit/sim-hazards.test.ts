import { describe, expect, it } from 'vitest';
import { balanceOf, createStill } from '../../simulators/model';
import { scenarios, specOf } from '../../simulators/scenarios';
import { boiling, calm, on, pass, still } from './sim-still';

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
