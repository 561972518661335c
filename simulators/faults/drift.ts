import { changeReadings, type FaultRule, measuringPoints } from './types';

/** A probe that drifts away from the truth: wet well, ageing, a well that slips out. */
export const drift: FaultRule = {
  what: 'a probe drifts away from the truth, by an hour',
  unit: 'the point’s own an hour',
  usualSize: 4,
  targetsOf: measuringPoints,
  readings(batch, memory, context) {
    const { target, isOn, atS, size } = context;
    if (!isOn) return { batch, memory: { ...memory, lastByPoint: {} } };
    const sinceS = memory.lastByPoint[target] ?? atS;
    const driven = changeReadings((reading) =>
      reading.value === null ? reading : { ...reading, value: reading.value + (size * (atS - sinceS)) / 3600 },
    );
    return { batch: driven(batch, memory, context).batch, memory: { ...memory, lastByPoint: { [target]: sinceS } } };
  },
};
