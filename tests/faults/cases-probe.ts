import type { PointKind } from '../../lib/still/schema';
import type { FaultName } from '../../simulators/faults';
import { measuringPoints } from '../../simulators/faults/types';
import { nextBetween, nextIndex, nextUnit } from '../../simulators/model';
import { type Case, type Draw, powerW, trouble, type View } from './case';

/** A usual scatter of each kind of point, in its own unit: a fault's size is some of these. */
const scatters: Partial<Record<PointKind, number>> = {
  'vapour-temp': 0.15,
  'boiler-temp': 0.15,
  'element-temp': 0.5,
  'product-temp': 0.3,
  'air-pressure': 0.6,
  'boiler-pressure': 1,
  'boiler-level': 0.008,
  'coolant-flow': 6,
  'heat-power': 40,
  'vapour-gas': 0.01,
  'product-flow': 0.3,
};

/** A measuring point of the still, drawn; the two thermometers half of the time. */
function anyPoint({ random, plant }: Draw): string {
  const points = measuringPoints(plant.still);
  const main = points.filter((id) => id === 'vapour-temp' || id === 'boiler-temp');
  const from = nextUnit(random) < 0.5 ? main : points;
  return from[nextIndex(random, from.length)] ?? 'vapour-temp';
}

function thermometer({ random }: Draw): string {
  return nextUnit(random) < 0.5 ? 'vapour-temp' : 'boiler-temp';
}

function onPoint(fault: FaultName, target: (draw: Draw) => string, size?: (draw: Draw, target: string) => number) {
  return (draw: Draw) => {
    const point = target(draw);
    const { fromS, untilS } = draw;
    return [{ fault, fromS, untilS, target: point, ...(size === undefined ? {} : { size: size(draw, point) }) }];
  };
}

const scatterOf = ({ plant }: Draw, point: string): number => scatters[plant.still.points[point]!.kind] ?? 0.1;
const isOn = ({ isOn }: View) => isOn;

/** Repeats something other than the truth, by more than lag and noise; one wild reading of a sound probe does not. */
const isStuckOff = ({ run }: View, point: string, trueC: number): boolean =>
  run.now - (run.watch?.probes[point]?.sameSinceS ?? run.now) > 20 &&
  Math.abs((run.image[point]?.value ?? trueC) - trueC) > 3;

/** How far the vapour is read above the liquid it rises from, on a still that is heated and distils [K]. */
function vapourAboveBoilerK({ run, site }: View): number {
  const [vapour, boiler] = [run.image['vapour-temp'], run.image['boiler-temp']];
  const isRunning = run.state === 'running' && run.resume === null && site.state.boiledMolPerS > 1e-4;
  if (!isRunning || vapour?.quality !== 'good' || boiler?.quality !== 'good') return Number.NEGATIVE_INFINITY;
  return (vapour.value ?? 0) - (boiler.value ?? 0);
}

/** Vapour read above its liquid by this is beyond what two probes of 0.2 and 0.3 K may differ by, and said to be impossible [K]. */
const impossibleK = 2.5;

/** A power meter may lag no more than the still's document gives its drive to answer: 5 s. */
const lateness = ({ random, plant }: Draw, point: string): number =>
  nextBetween(random, 2, plant.still.points[point]?.kind === 'heat-power' ? 3.5 : 8);

/** What a stillhouse must live with: nothing may trip and the run goes on. */
const tolerated = (name: string, faults: Case['faults']): Case =>
  trouble({
    name,
    hazard: null,
    phases: ['heat-up', 'equalise', 'foreshots', 'heads', 'hearts', 'tails'],
    lastsS: 1200,
    faults,
    onset: () => false,
    answers: [],
    promisedBy: [],
    safe: 'carries-on',
  });

const lost: readonly string[] = ['probe-lost', 'protection-lost', 'blind', 'air-pressure-lost'];
/** What `probe-lost` watches; a lost meter of power, level or flow is told by what needs it. */
const watchedKinds = new Set([
  'vapour-temp',
  'boiler-temp',
  'element-temp',
  'product-temp',
  'coolant-flow',
  'boiler-pressure',
  'vapour-gas',
]);
const lying = [
  'probe-stuck',
  'probe-jumped',
  'probes-impossible',
  'probes-swapped',
  'probes-disagree',
  'boiler-unlikely',
  'probe-power-on',
];

const silent = (name: string, fault: FaultName): Case =>
  trouble({
    name,
    hazard: 'lying-probe',
    lastsS: 400,
    faults: onPoint(fault, anyPoint),
    onset: isOn,
    answers: lost,
    promisedBy: ['probe-lost'],
    safe: 'told',
    unseen: (_type, faults) =>
      faults.every(({ target }) => target !== undefined && watchedKinds.has(target))
        ? null
        : 'a meter that nothing needs at once',
  });

export const probeCases: readonly Case[] = [
  tolerated(
    'noise',
    onPoint('noise', anyPoint, (draw, point) => scatterOf(draw, point) * nextBetween(draw.random, 0.5, 2)),
  ),
  tolerated(
    'spike',
    onPoint('spike', anyPoint, (draw, point) => scatterOf(draw, point) * nextBetween(draw.random, 10, 80)),
  ),
  tolerated('late', onPoint('late', anyPoint, lateness)),
  tolerated('reordered', onPoint('reordered', anyPoint, lateness)),
  tolerated(
    'retained, marked',
    onPoint('retained', anyPoint, () => 0),
  ),
  tolerated(
    'retained, unmarked',
    onPoint('retained', anyPoint, () => 1),
  ),
  silent('dropout', 'dropout'),
  silent('not a number', 'not-a-number'),
  trouble({
    name: 'drift',
    hazard: 'lying-probe',
    phases: ['heads', 'hearts', 'tails'],
    lastsS: 2400,
    faults: onPoint(
      'drift',
      thermometer,
      ({ random }) => nextBetween(random, 4, 25) * (nextUnit(random) < 0.5 ? -1 : 1),
    ),
    onset: (view) => view.isOn && vapourAboveBoilerK(view) > impossibleK + 1,
    isPast: (view) => vapourAboveBoilerK(view) < impossibleK,
    answers: [
      ...lying,
      'boiler-above-bubble',
      'dry-boil',
      'off-profile',
      'vapour-failing',
      'boiler-rising-fast',
      'boiler-rises-vapour-falls',
    ],
    promisedBy: ['probes-impossible'],
    safe: 'told',
  }),
  trouble({
    name: 'stuck probe',
    hazard: 'lying-probe',
    phases: ['heat-up', 'heads', 'hearts', 'tails'],
    lastsS: 1500,
    faults: onPoint('stuck-probe', thermometer),
    onset: (view) =>
      view.isOn &&
      powerW(view) > 0 &&
      (isStuckOff(view, 'vapour-temp', view.site.state.head.tempC) ||
        isStuckOff(view, 'boiler-temp', view.site.state.boiler.tempC)),
    // Once the heat is off for good it misleads nobody any more.
    isPast: (view) => powerW(view) === 0,
    answers: [...lying, ...lost, 'no-vapour', 'heat-up-slow', 'wrong-charge'],
    promisedBy: ['probe-stuck'],
    safe: 'told',
    unseen: (type, faults) =>
      type === 'column' || faults[0]?.target === 'boiler-temp'
        ? 'nothing need move at a steady plateau or at the water end'
        : null,
  }),
  trouble({
    name: 'swapped probes',
    hazard: 'lying-probe',
    phases: ['hearts', 'tails'],
    lastsS: 600,
    faults: ({ fromS, untilS }) => [{ fault: 'swapped-probes', fromS, untilS }],
    onset: ({ isOn, site }) => isOn && site.state.powerW > 0 && site.state.boiler.tempC - site.state.head.tempC > 3,
    answers: lying,
    promisedBy: ['probes-swapped'],
    safe: 'no-cut',
    unseen: (type) => (type === 'stripping' ? 'head and boiler run within a few kelvin at the end' : null),
  }),
  trouble({
    name: 'wrong pressure',
    hazard: 'wrong-pressure',
    phases: ['heat-up', 'heads', 'hearts', 'tails'],
    lastsS: 900,
    faults: ({ fromS, untilS }) => [{ fault: 'wrong-pressure', fromS, untilS }],
    onset: isOn,
    answers: ['air-pressure-sea-level', 'air-pressure-lost'],
    promisedBy: ['air-pressure-sea-level'],
    safe: 'told',
  }),
];
