import type { FlowForecast, Forecast } from '../engine/types';

export const flowNothing: FlowForecast = { atL: null, measuredL: 0, modelL: 0, weightS: 0 };

/** Nothing is known of what lies ahead. */
export const forecastNothing: Forecast = {
  atS: null,
  step: -1,
  charge: null,
  flow: flowNothing,
  next: { kind: 'unknown', why: 'forecast.not-running' },
};
