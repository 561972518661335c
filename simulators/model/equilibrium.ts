import { bubbleTempC, gasConstantJPerMolK, vaporisationHeatJPerMol, vapourAtTemp } from '../../lib/physics';

/** The boiling point of a vessel's liquid as last worked out, with slopes to carry it a little further. */
export interface Equilibrium {
  x: number;
  pressureHPa: number;
  tempC: number;
  y: number;
  slopeY: number;
  slopeTempC: number;
  slopeKPerHPa: number;
  /** Composition at which the slopes were taken; −1 before the first time. */
  slopesAtX: number;
  age: number;
}

export function createEquilibrium(): Equilibrium {
  return {
    x: -1,
    pressureHPa: 0,
    tempC: 80,
    y: 0,
    slopeY: 1,
    slopeTempC: 0,
    slopeKPerHPa: 0.03,
    slopesAtX: -1,
    age: 0,
  };
}

/** Works out the boiling point at a composition and pressure; slopes only now and then, for they change slowly. */
export function refreshEquilibrium(eq: Equilibrium, x: number, pressureHPa: number): void {
  const tempC = bubbleTempC(x, pressureHPa, eq.tempC);
  const y = x > 0 && x < 1 ? vapourAtTemp(x, tempC) : x;
  const moved = eq.slopesAtX < 0 || Math.abs(x - eq.slopesAtX) > 0.02 * (x + 0.005);
  if (moved || eq.age >= 100) {
    const delta = x < 0.5 ? 1e-4 * (x + 0.01) : -1e-4;
    const nearC = bubbleTempC(x + delta, pressureHPa, tempC);
    eq.slopeY = (vapourAtTemp(x + delta, nearC) - y) / delta;
    eq.slopeTempC = (nearC - tempC) / delta;
    eq.slopesAtX = x;
    eq.age = 0;
  }
  const tempK = tempC + 273.15;
  eq.slopeKPerHPa = (gasConstantJPerMolK * tempK * tempK) / (pressureHPa * vaporisationHeatJPerMol(y, tempC));
  eq.x = x;
  eq.pressureHPa = pressureHPa;
  eq.tempC = tempC;
  eq.y = y;
  eq.age++;
}

/** The boiling point is solved up to 2000 hPa; a vessel shut tight has a relief valve long before. */
export function boundedPressureHPa(pressureHPa: number): number {
  return Math.min(1900, Math.max(60, pressureHPa));
}
