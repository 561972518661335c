import type { DriveValue, Reading } from '../../lib/engine/types';
import type { Outgoing, Surroundings } from '../../simulators/devices';
import type { Answer } from '../../simulators/model';
import { scenarios, specOf } from '../../simulators/scenarios';

export const pot = specOf(scenarios['pot-spirit']);
export const column = specOf(scenarios['column-spirit']);

/** A site of paper: drives that do at once what they are told, a clock that is set. */
export function paperSite(spec = pot) {
  const states: Record<string, number> = {};
  const commands: { drive: string; value: DriveValue; ageS: number; ttlS: number }[] = [];
  const site = { nowS: 0, wallMs: Date.parse('2026-03-14T10:22:31Z'), speed: 1, isDeaf: false };
  const latest = new Map<string, Reading>();
  const around = (): Surroundings => ({
    spec,
    nowS: site.nowS,
    wallMs: site.wallMs,
    speed: site.speed,
    latest: (point) => latest.get(point),
    stateOf: (drive) => states[drive] ?? 0,
    wattsOf: () => 5000,
    command(drive, value, ageS, ttlS): Answer {
      if (site.isDeaf) return 'deaf';
      if (ageS > ttlS) return 'expired';
      commands.push({ drive, value, ageS, ttlS });
      const made = spec.still.drives[drive];
      const index = made?.kind === 'diverter' ? made.positions.indexOf(String(value)) : Number(value);
      states[drive] = index;
      return 'accepted';
    },
  });
  return { site, states, commands, latest, around };
}

export function reading(point: string, value: number | null, fault?: Reading['fault']): Reading {
  return { point, value, atS: 1, ...(fault === undefined ? {} : { fault }) };
}

export const jsonOf = (message: Outgoing | undefined) => JSON.parse(message?.payload ?? 'null') as unknown;
