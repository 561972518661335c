import { drivesOfKind } from '../../simulators/faults/types';
import { nextBetween, nextIndex, nextUnit } from '../../simulators/model';
import { boils, type Case, commandedHeat, powerW, trouble, type View } from './case';

/** Rules that see a boiler that runs dry, the quickest first. */
export const dryBoilRules = [
  'element-over-temperature',
  'element-bare',
  'level-low',
  'dry-boil',
  'boiler-above-bubble',
  'boiler-rising-fast',
  'boiler-rises-vapour-falls',
  'vapour-failing',
  'dry-boil-signs',
  'charge-spent',
  'energy-spent',
  'wrong-charge',
  'no-vapour',
  'no-drip',
  'boiler-over-temperature',
] as const;

const onSite =
  (fault: string, size?: (view: { random: Parameters<typeof nextUnit>[0] }) => number): Case['faults'] =>
  ({ fromS, untilS, random }) => [{ fault, fromS, untilS, ...(size === undefined ? {} : { size: size({ random }) }) }];

/** A receiver valve of which somebody looking at its switch would say: not where it was told to be. */
function isValveWrong({ plant, run, before, site, atS }: View): boolean {
  return Object.entries(plant.still.drives).some(([id, drive]) => {
    const memory = run.drives[id];
    if (memory === undefined || before.drives[id]?.value !== memory.value) return false;
    if (drive.kind !== 'receiver-valve' && drive.kind !== 'diverter') return false;
    if (atS - memory.changedAtS < drive.travelS + 1) return false;
    const told = drive.kind === 'diverter' ? drive.positions.indexOf(String(memory.value)) : memory.value;
    return site.drives.drives[id]!.position !== told;
  });
}

const gaugeHPa = ({ site }: View) => site.state.boilerHPa - site.state.airHPa;
const onBare =
  (why: string): Case['unseen'] =>
  (type) =>
    type === 'bare' ? why : null;

export const stillCases: readonly Case[] = [
  trouble({
    name: 'coolant lost',
    hazard: 'coolant-lost',
    phases: ['equalise', 'foreshots', 'heads', 'hearts', 'tails'],
    lastsS: 300,
    faults: onSite('coolant-lost', ({ random }) => (nextUnit(random) < 0.5 ? 0 : nextBetween(random, 0, 0.3))),
    onset: (view) => view.isOn && boils(view) && view.site.state.condenser.flowLPerH < 59,
    answers: ['coolant-flow-lost', 'product-hot', 'product-warm', 'coolant-not-on'],
    promisedBy: ['coolant-flow-lost'],
    safe: 'heat-off',
    unseen: onBare('no point in the coolant or the product'),
  }),
  trouble({
    name: 'blocked vapour path',
    hazard: 'blocked-path',
    lastsS: 600,
    faults: onSite('blocked-path', ({ random }) => (nextUnit(random) < 0.6 ? 0 : nextBetween(random, 0, 0.04))),
    onset: (view) => view.isOn && gaugeHPa(view) >= view.plant.still.ratings.boilerPressureMaxHPa,
    answers: [
      'boiler-over-pressure',
      'boiler-pressure-high',
      'boiler-above-bubble',
      'no-drip',
      'no-vapour',
      'vapour-failing',
      'dry-boil-signs',
    ],
    promisedBy: ['boiler-over-pressure'],
    safe: 'heat-off',
    unseen: onBare('no pressure gauge and no meter at the spout'),
  }),
  trouble({
    name: 'element exposed',
    hazard: 'bare-element',
    phases: ['heat-up', 'equalise', 'heads', 'hearts', 'tails'],
    lastsS: 900,
    faults: onSite('element-exposed', ({ random }) => nextBetween(random, 300, 4000)),
    onset: (view) => view.isOn && view.site.state.coveredShare < 0.2 && powerW(view) > 0,
    answers: dryBoilRules,
    promisedBy: ['element-bare', 'level-low'],
    safe: 'heat-off',
    unseen: onBare('two thermometers see a bare element only after it is hot'),
    spoils: 'the charge ran out',
  }),
  trouble({
    name: 'scorching',
    hazard: 'scorching',
    lastsS: 900,
    faults: onSite('scorching', ({ random }) => nextBetween(random, 0.7, 0.95)),
    onset: (view) =>
      view.isOn &&
      Math.max(...Object.values(view.site.state.sources).map(({ tempC }) => tempC)) >=
        view.plant.still.ratings.elementTempAlarmC,
    answers: ['scorching', 'element-bare', 'element-over-temperature', 'dry-boil-signs'],
    promisedBy: ['scorching'],
    safe: 'less-heat',
    unseen: onBare('no probe at the element'),
  }),
  trouble({
    name: 'vapour leak',
    hazard: 'vapour-leak',
    lastsS: 900,
    faults: onSite('leak', ({ random }) => nextBetween(random, 0.15, 0.6)),
    // A little above the limit: at the limit itself the scatter of the detector decides.
    onset: (view) => view.isOn && view.site.state.gasShare >= view.plant.still.ratings.vapourGasMaxShare + 0.015,
    answers: ['vapour-leak', 'no-drip', 'vapour-failing', 'no-vapour'],
    promisedBy: ['vapour-leak'],
    safe: 'heat-off',
    unseen: (type) => (type === 'pot' || type === 'stripping' ? null : 'no gas detector'),
  }),
  trouble({
    name: 'puking',
    hazard: 'puking',
    stills: ['pot', 'column', 'bare'],
    phases: ['hearts'],
    lastsS: 240,
    faults: onSite('puking', ({ random }) => nextBetween(random, 0.6, 2)),
    onset: (view) =>
      view.isOn && boils(view) && view.site.state.head.tempC - (view.before.estimate.vapourTempC ?? 100) > 5,
    answers: ['puking', 'probe-jumped', 'boiler-pressure-high', 'product-warm'],
    promisedBy: ['puking'],
    safe: 'less-heat',
    unseen: (type) => (type === 'column' ? null : 'no parrot, and a pot’s head hardly warms'),
  }),
  trouble({
    name: 'full receiver',
    hazard: 'overflow',
    phases: ['heads', 'hearts', 'tails'],
    lastsS: 1800,
    faults: ({ fromS, untilS, plant, random }) => {
      const ids = Object.keys(plant.still.receivers);
      const target = plant.recipe?.kind === 'stripping' ? 'feints-can' : ids[nextIndex(random, ids.length)]!;
      return [{ fault: 'full-receiver', fromS, untilS, target, size: nextBetween(random, 0.2, 1.2) }];
    },
    onset: (view) =>
      view.isOn &&
      powerW(view) > 0 &&
      Object.entries(view.site.state.receivers).some(([id, { spilledL, volumeL, ballastL }]) => {
        const roomL = (view.plant.still.receivers[id]?.capacityL ?? 1e9) - volumeL - ballastL;
        return id === view.run.receiver && ballastL > 0 && (spilledL > 0 || roomL <= 0.02);
      }),
    answers: ['receiver-overflow', 'receiver-nearly-full'],
    promisedBy: ['receiver-overflow'],
    safe: 'heat-off',
    unseen: (type) => (type === 'stripping' ? null : 'what somebody left in a receiver shows on a scale alone'),
  }),
  trouble({
    name: 'valve stuck',
    hazard: 'stuck-valve',
    stills: ['pot', 'column', 'stripping'],
    phases: ['foreshots', 'heads', 'hearts', 'tails'],
    lastsS: 1500,
    faults: ({ fromS, untilS, plant, random }) => {
      const valves = drivesOfKind(plant.still, 'receiver-valve', 'diverter');
      const target = valves[nextIndex(random, valves.length)]!;
      const isDiverter = plant.still.drives[target]?.kind === 'diverter';
      return [{ fault: 'valve-stuck', fromS, untilS, target, size: isDiverter ? -1 : nextIndex(random, 3) - 1 }];
    },
    onset: (view) => view.isOn && isValveWrong(view),
    answers: ['receiver-stuck', 'receiver-closed', 'drive-mismatch', 'receiver-leaking', 'no-drip'],
    promisedBy: ['drive-mismatch'],
    safe: 'told',
    unseen: () => null,
  }),
  trouble({
    name: 'relay welded',
    hazard: 'heat-not-stopping',
    lastsS: 240,
    faults: ({ fromS, untilS }) => [{ fault: 'relay-welded', fromS, untilS }],
    acts: ({ fromS, random }) => [{ atS: fromS + 20 + nextIndex(random, 60), kind: 'hold', forS: 0 }],
    onset: (view) =>
      view.isOn && powerW(view) > 0 && commandedHeat(view.run, view.plant) === 0 && view.run.state === 'held',
    answers: ['heat-not-stopping'],
    promisedBy: ['heat-not-stopping'],
    safe: 'device-off',
    unseen: onBare('no meter of the power: the boiler must first show it'),
  }),
];
