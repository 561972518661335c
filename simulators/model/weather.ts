import { standardPressureHPa } from '../../lib/physics';
import { nextGaussian, type Random } from './random';
import type { SiteSpec } from './spec';

/** Air pressure of the site: node values a minute apart, a straight line between. */
export interface Weather {
  readonly random: Random;
  /** Wandering at the last node and the next [hPa at sea level]. */
  fromHPa: number;
  toHPa: number;
  nodeAtS: number;
}

const nodeS = 60;
const forgetS = 6 * 3600;

export function createWeather(random: Random): Weather {
  return { random, fromHPa: 0, toHPa: 0, nodeAtS: 0 };
}

/** Moves on to a time; time never runs back. */
export function advanceWeather(weather: Weather, site: SiteSpec, atS: number): void {
  while (atS >= weather.nodeAtS + nodeS) {
    weather.nodeAtS += nodeS;
    weather.fromHPa = weather.toHPa;
    const step = site.weather.wanderHPaPerRootH * Math.sqrt(nodeS / 3600);
    weather.toHPa += -weather.toHPa * (nodeS / forgetS) + step * nextGaussian(weather.random);
  }
}

function frontHPa(site: SiteSpec, atS: number): number {
  const { front } = site.weather;
  return front === null ? 0 : (front.changeHPa * (1 + Math.tanh((atS - front.atS) / front.widthS))) / 2;
}

/**
 * Station pressure at a time that advanceWeather has reached: the standard atmosphere of the altitude, scaled by the weather.
 *
 * @returns pressure [hPa], kept within 500..1100
 */
export function stationPressureAtHPa(weather: Weather, site: SiteSpec, atS: number): number {
  const share = Math.min(1, Math.max(0, (atS - weather.nodeAtS) / nodeS));
  const wanderHPa = weather.fromHPa + share * (weather.toHPa - weather.fromHPa);
  const seaLevelHPa = 1013.25 + site.weather.offsetHPa + wanderHPa + frontHPa(site, atS);
  return Math.min(1100, Math.max(500, (seaLevelHPa * standardPressureHPa(site.altitudeM)) / 1013.25));
}
