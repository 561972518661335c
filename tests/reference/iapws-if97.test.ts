import { spawnSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import {
  liquidEnthalpyJPerMol,
  vapourEnthalpyJPerMol,
  waterBoilingPointC,
  waterMolarMassGPerMol,
  waterSaturationAtKelvinHPa,
  waterSaturationHPa,
} from '../../lib/physics';
import { needs } from '../tools/need';
import table from './data/iapws-if97.json';

describe('IAPWS R7-97(2012), Tables 35 and 36', () => {
  it.each(table.saturation)(
    'water at $tempK K boils at $pressureMPa MPa, all printed digits',
    ({ tempK, pressureMPa }) => {
      expect(Math.abs(waterSaturationAtKelvinHPa(tempK) / 1e4 / pressureMPa - 1)).toBeLessThan(3e-9);
    },
  );

  it.each(table.boiling)(
    'water at $pressureMPa MPa boils at $tempK K, all printed digits',
    ({ tempK, pressureMPa }) => {
      expect(Math.abs(waterBoilingPointC(pressureMPa * 1e4) + 273.15 - tempK)).toBeLessThan(6e-7);
    },
  );

  it('forward and backward equations are each the inverse of the other', () => {
    for (let tempC = 1; tempC < 200; tempC += 0.7) {
      expect(Math.abs(waterBoilingPointC(waterSaturationHPa(tempC)) - tempC)).toBeLessThan(1e-10);
    }
  });
});

interface SteamPoint {
  readonly tempC: number;
  readonly saturationMPa: number;
  readonly liquidKJPerKg: number;
  readonly vapourKJPerKg: number;
}

const program = `
import json
from iapws.iapws97 import IAPWS97, _PSat_T
points = []
for tempC in range(1, 111):
    liquid = IAPWS97(T=tempC + 273.15, x=0)
    vapour = IAPWS97(T=tempC + 273.15, x=1)
    points.append(dict(tempC=tempC, saturationMPa=_PSat_T(tempC + 273.15), liquidKJPerKg=liquid.h, vapourKJPerKg=vapour.h))
print(json.dumps(points))
`;

// An independent library, run for real: steam tables of Debian's python3-iapws.
describe.skipIf(!needs('python3-iapws'))('python3-iapws', () => {
  const run = spawnSync('/usr/bin/python3', ['-c', program], { encoding: 'utf8' });
  const points = JSON.parse(run.stdout === '' ? '[]' : run.stdout) as readonly SteamPoint[];

  it('answers', () => {
    expect(run.stderr).toBe('');
    expect(points).toHaveLength(110);
  });

  it('has the same saturation pressures from 1 to 110 °C within 1e-9', () => {
    for (const { tempC, saturationMPa } of points) {
      expect(Math.abs(waterSaturationHPa(tempC) / (1e4 * saturationMPa) - 1)).toBeLessThan(1e-9);
    }
  });

  it('has the same enthalpy of liquid water within 1 J/mol', () => {
    for (const { tempC, liquidKJPerKg } of points) {
      expect(Math.abs(liquidEnthalpyJPerMol(0, tempC) - liquidKJPerKg * waterMolarMassGPerMol)).toBeLessThan(1);
    }
  });

  it('has the same enthalpy of steam within 2 J/mol', () => {
    for (const { tempC, vapourKJPerKg } of points) {
      expect(Math.abs(vapourEnthalpyJPerMol(0, tempC) - vapourKJPerKg * waterMolarMassGPerMol)).toBeLessThan(2);
    }
  });
});
