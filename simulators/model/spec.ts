import { type CongenerName, congenerNames } from '../../lib/physics';
import type { Still } from '../../lib/still/schema';

/** Liquid put into the boiler. */
export interface ChargeSpec {
  readonly volumeL: number;
  /** At 20 °C. */
  readonly strengthAbv: number;
  readonly tempC: number;
  /** Minor compounds [mg in a litre of charge]; the simulator's figures for them are predictions. */
  readonly congenersMgPerL: Readonly<Partial<Record<CongenerName, number>>>;
  /** Rise of the boiling point by sugar and other solids in the full charge [K]; grows as the boiler empties. */
  readonly solidsRiseK: number;
}

/** The body of the still. Heat passes at `wPerK` times the difference of temperatures. */
export interface BodySpec {
  readonly boilerMetalJPerK: number;
  readonly boilerLossWPerK: number;
  /** Level of the boiler's liquid at which the element begins to be bared, and at which all of it is [L]. */
  readonly elementTopL: number;
  readonly elementBottomL: number;
  /** Liquid hotter than its boiling point [K]: a clean smooth boiler. */
  readonly superheatK: number;
  /** Liquid carried over by foam: moles a mole of vapour at full fill and rated boil-up; nothing below 80 % fill. */
  readonly foamShare: number;
  /** Boiler pressure at which the relief valve opens [hPa above the air]. */
  readonly reliefHPa: number;
  /** Under-pressure at which air is let in [hPa]; only a closed still that cools comes there. */
  readonly vacuumBreakerHPa: number;
}

/** What stands between boiler and condenser. */
export interface TowerSpec {
  /** Equilibrium stages above the boiler; the part stage (0.4 of 2.4) lets the rest of the vapour pass by. */
  readonly stages: number;
  readonly holdUpMolPerStage: number;
  readonly metalJPerKPerStage: number;
  /** Heat lost from head and arm: it condenses vapour, which runs back (passive reflux). */
  readonly lossWPerK: number;
  /** Pressure drop at rated boil-up, below and behind the head [hPa]. */
  readonly dropHPa: number;
  readonly dropBehindHPa: number;
}

export interface CondenserSpec {
  readonly coolantLPerH: number;
  readonly coolantInC: number;
  readonly coolantHeldL: number;
  /** For vapour, upper and lower half alike; and for cooling the distillate down [W/K]. */
  readonly halfWPerK: number;
  readonly subcoolWPerK: number;
}

export interface SiteSpec {
  readonly altitudeM: number;
  readonly roomTempC: number;
  /** Air the leaked vapour spreads in before it reaches the detector [m³], and how often that air is renewed [1/h]. */
  readonly zoneM3: number;
  readonly airChangesPerH: number;
  readonly weather: WeatherSpec;
}

export interface WeatherSpec {
  /** Sea-level pressure less the standard atmosphere's at the start [hPa]. */
  readonly offsetHPa: number;
  /** Spread of the slow wandering within an hour [hPa]. */
  readonly wanderHPaPerRootH: number;
  /** A front: pressure changes by this much, half of it gone at `atS`, over about four times `widthS`. */
  readonly front: { readonly atS: number; readonly changeHPa: number; readonly widthS: number } | null;
}

/** How heat enters: the body of the heat source between the mains (or the fire) and the liquid. */
export interface HeatSpec {
  readonly ratedW: number;
  /** Share of the power that reaches the source's body. */
  readonly efficiency: number;
  readonly bodyJPerK: number;
  readonly toLiquidWPerK: number;
  readonly toAirWPerK: number;
}

/** How a probe tells the truth or falls short of it. */
export interface ProbeSpec {
  readonly lagS: number;
  /** Standard deviation, in the unit of the point. */
  readonly noise: number;
  /** Step of the reading; 0 is none. */
  readonly resolution: number;
  readonly offset: number;
  readonly gain: number;
  readonly periodS: number;
  /** Slow wandering of the offset within an hour, in the unit of the point. */
  readonly wanderPerRootH: number;
  /** The instrument shows nothing below this: 0 for meters of flow, level, gas; null where there is no such end. */
  readonly lowest: number | null;
}

/** All there is to know about a simulated still. */
export interface StillSpec {
  readonly still: Still;
  readonly charge: ChargeSpec;
  readonly body: BodySpec;
  readonly tower: TowerSpec;
  readonly condenser: CondenserSpec;
  readonly site: SiteSpec;
  readonly heat: Readonly<Record<string, HeatSpec>>;
  readonly probes: Readonly<Record<string, ProbeSpec>>;
  /** Liquid in the parrot [L]; 0 where there is none. A glass hydrometer reads too high when warm: the reading is left uncorrected. */
  readonly parrotL: number;
  readonly parrotGlass: boolean;
  /** Liquid the condenser takes when no receiver is open, before the vapour path is shut [L]. */
  readonly backUpL: number;
  /** Carry the minor compounds along. Costs about half the time of a step. */
  readonly tracers: boolean;
}

/** Parts of a spec a caller wants otherwise than usual for the still's size. */
export interface StillOptions {
  readonly charge?: Partial<ChargeSpec>;
  readonly body?: Partial<BodySpec>;
  readonly tower?: Partial<TowerSpec>;
  readonly condenser?: Partial<CondenserSpec>;
  readonly site?: Partial<SiteSpec>;
  readonly heat?: Readonly<Record<string, Partial<HeatSpec>>>;
  readonly probes?: Readonly<Record<string, Partial<ProbeSpec>>>;
  readonly parrotL?: number;
  readonly parrotGlass?: boolean;
  readonly backUpL?: number;
  readonly tracers?: boolean;
}

/** Order in which minor compounds stand in every array of tracers. */
export const tracerNames: readonly CongenerName[] = congenerNames;
