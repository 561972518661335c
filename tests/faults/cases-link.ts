import { nextBetween, nextIndex } from '../../simulators/model';
import { type Case, disobedience, standsWrong, trouble } from './case';

const anyPhase: Case['phases'] = ['heat-up', 'equalise', 'foreshots', 'heads', 'hearts', 'tails'];

export const linkCases: readonly Case[] = [
  trouble({
    name: 'broker gone',
    hazard: 'link-lost',
    phases: anyPhase,
    lastsS: 300,
    faults: ({ fromS, untilS }) => [{ fault: 'link-lost', fromS, untilS }],
    onset: ({ isOn }) => isOn,
    answers: ['blind', 'protection-lost', 'probe-lost', 'heat-not-coming'],
    promisedBy: ['blind'],
    safe: 'device-off',
  }),
  trouble({
    name: 'link lost for a moment',
    hazard: null,
    phases: anyPhase,
    lastsS: 20,
    faults: ({ fromS, random }) => [{ fault: 'link-lost', fromS, untilS: fromS + nextBetween(random, 2, 12) }],
    onset: () => false,
    answers: [],
    promisedBy: [],
    safe: 'carries-on',
  }),
  trouble({
    name: 'lost command',
    hazard: null,
    phases: anyPhase,
    lastsS: 900,
    faults: ({ fromS, untilS, plant, random }) => {
      const drives = Object.keys(plant.still.drives);
      return [
        {
          fault: 'lost-command',
          fromS,
          untilS,
          target: drives[nextIndex(random, drives.length)]!,
          size: nextBetween(random, 0.3, 1),
        },
      ];
    },
    onset: standsWrong,
    isPast: (view) => !standsWrong(view),
    answers: [...disobedience, 'wrong-charge', 'vapour-failing', 'no-vapour'],
    promisedBy: ['drive-mismatch'],
    safe: 'told',
    unseen: (type) => (type === 'bare' ? 'nothing reports and nothing meters the heat' : null),
  }),
  trouble({
    name: 'power dip',
    hazard: 'power-cut',
    phases: anyPhase,
    lastsS: 120,
    faults: ({ fromS, random }) => [{ fault: 'power-dip', fromS, untilS: fromS + nextBetween(random, 40, 120) }],
    onset: ({ isOn }) => isOn,
    answers: ['blind', 'heat-not-coming', 'protection-lost', 'probe-lost'],
    promisedBy: ['blind'],
    safe: 'device-off',
  }),
  trouble({
    name: 'power flicker',
    hazard: 'power-cut',
    phases: anyPhase,
    lastsS: 120,
    faults: ({ fromS, random }) => [{ fault: 'power-dip', fromS, untilS: fromS + nextBetween(random, 1, 4) }],
    // Ridden out when every drive soon stands again as it was told; else somebody is told.
    onset: standsWrong,
    isPast: (view) => !standsWrong(view),
    answers: disobedience,
    promisedBy: ['drive-mismatch'],
    safe: 'told',
    unseen: (type) => (type === 'bare' ? 'nothing reports and nothing meters the heat' : null),
  }),
  trouble({
    name: 'disk full',
    hazard: null,
    phases: anyPhase,
    lastsS: 900,
    acts: ({ fromS, random }) => [{ atS: fromS, kind: 'disk-full', forS: nextBetween(random, 20, 800) }],
    // A decision that cannot be written down waits, and for three seconds at the most: then the run is held.
    onset: ({ isWaiting }) => isWaiting,
    isPast: ({ isWaiting }) => !isWaiting,
    answers: ['receiver-stuck', 'receiver-closed', 'heat-not-coming', 'drive-mismatch', 'coolant-not-on'],
    promisedBy: [],
    safe: 'held',
    safeWithinS: 5,
    unseen: () => 'told by the program itself; held as soon as a command may not leave',
  }),
  trouble({
    name: 'killed and restarted',
    hazard: 'link-lost',
    phases: anyPhase,
    lastsS: 200,
    acts: ({ fromS, random }) => [{ atS: fromS, kind: 'kill', forS: 2 + nextIndex(random, 120) }],
    // The hold is told by no alarm: the run simply stands held when the program is back.
    onset: ({ isOn }) => isOn,
    answers: [],
    promisedBy: [],
    safe: 'device-off',
    safeWithinS: 35,
    unseen: () => 'nobody scans meanwhile: the device’s own dead-man, then held',
  }),
  trouble({
    name: 'scan late',
    hazard: 'link-lost',
    phases: anyPhase,
    lastsS: 120,
    acts: ({ fromS, random }) => [{ atS: fromS, kind: 'freeze', forS: 8 + nextIndex(random, 90) }],
    // The dead-man has run out by now.
    onset: ({ atS, run }) => atS - run.now >= 32,
    answers: ['scan-late', 'scan-stopped'],
    promisedBy: [],
    safe: 'device-off',
    safeWithinS: 3,
    unseen: () => 'told by the first scan after it',
  }),
  trouble({
    name: 'nobody there',
    hazard: 'nobody-there',
    stills: ['stripping'],
    phases: ['heat-up', 'tails'],
    lastsS: 1900,
    acts: ({ fromS, untilS }) => [{ atS: fromS, kind: 'leave', forS: untilS - fromS }],
    onset: ({ run, plant }) =>
      plant.still.attendanceS !== undefined &&
      run.attendedAtS !== null &&
      run.now - run.attendedAtS >= 90 &&
      run.state === 'running',
    answers: ['nobody-there', 'attendance-due'],
    promisedBy: ['nobody-there'],
    safe: 'heat-off',
  }),
];
