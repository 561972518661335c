import { type FaultRule, pointsOfKind } from './types';

/** Vapour and boiler probe plugged in the wrong way round; the target reads `vapour+boiler`. */
export const swappedProbes: FaultRule = {
  what: 'vapour and boiler probes are swapped',
  unit: '',
  usualSize: 0,
  targetsOf(still) {
    const [vapour] = pointsOfKind(still, 'vapour-temp');
    const [boiler] = pointsOfKind(still, 'boiler-temp');
    return vapour === undefined || boiler === undefined ? [] : [`${vapour}+${boiler}`];
  },
  readings(batch, memory, { isOn, target }) {
    if (!isOn) return { batch, memory };
    const [one, other] = target.split('+');
    const swapped = batch.map((reading) => {
      if (reading.point === one) return { ...reading, point: other! };
      return reading.point === other ? { ...reading, point: one! } : reading;
    });
    return { batch: swapped, memory };
  },
};
