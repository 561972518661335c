import { freshRun } from '../../lib/engine/fresh';
import { scan } from '../../lib/engine/scan';
import type { Event, Input, Plant, Run } from '../../lib/engine/types';
import { type Problem, problem } from '../../lib/problems';
import { english, sayName, sayReason } from '../../lib/words';
import { type Command, fail, flagOf, type Io, misunderstood, readOptions, textOf } from './command';
import { requestOf, siteOptions } from './simulate';
import { type Simulated, simulateInStillhouse } from './stillhouse';
import { clock, table } from './table';
import { plotLine } from './text-plot';

const help = `middlecut rehearse --recipe FILE --still FILE --charge-l L --charge-percent P [OPTIONS]

Runs a recipe on a simulated still before anybody heats the real one: when each fraction comes, how much and how strong,
what heat and coolant it takes, which receivers would overflow, what would be asked and which alarms would stand. The
simulated still is like the described one in size, heat and pressure; its reflux, probe place and losses are usual ones
and do not carry over. Minor compounds are left out: they would be predictions.

  --recipe FILE      recipe
  --still FILE       still document
  --variant NAME     variant of the recipe
  --charge-l L       volume of the charge
  --charge-percent P its strength, % vol
  --altitude M       height of the site, where the still document has none
  --seed N           weather, noise and all other chance (1)
  --json             the result as JSON
`;

async function run(args: readonly string[], io: Io): Promise<number> {
  const read = readOptions(args, siteOptions);
  if (read.kind === 'bad') return misunderstood(io, 'rehearse', read.message);
  const { options } = read;
  const json = flagOf(options, 'json');
  const problems: Problem[] = [];
  for (const name of ['recipe', 'still', 'charge-l', 'charge-percent']) {
    if (textOf(options, name) === undefined) problems.push(problem(`--${name}`, undefined, 'is missing', 'See --help'));
  }
  const request = requestOf(options, problems);
  if (problems.length > 0) return fail(io, problems, json);
  const rehearsing = listener();
  const simulated = await simulateInStillhouse(request, rehearsing.hear);
  if ('problems' in simulated) return fail(io, simulated.problems, json);
  const rehearsal = rehearsing.end(simulated);
  if (json) io.out(`${JSON.stringify(rehearsal, null, 2)}\n`);
  else io.out(show(rehearsal));
  return 0;
}

interface PhaseLine {
  readonly phase: string;
  readonly fromS: number;
  readonly lastsS: number;
  readonly volumeL: number;
  readonly strengthAbv: number | null;
  readonly alcoholL: number;
  readonly sharePercent: number;
  readonly heatKWh: number;
  readonly coolantL: number;
}

export interface Rehearsal {
  readonly still: string;
  readonly recipe: string;
  readonly variant: string | null;
  readonly state: Run['state'];
  readonly phases: readonly PhaseLine[];
  readonly receivers: readonly {
    readonly receiver: string;
    readonly volumeL: number;
    readonly capacityL: number;
    readonly overflows: boolean;
  }[];
  readonly asked: readonly { readonly atS: number; readonly from: string; readonly why: string }[];
  readonly alarms: readonly { readonly atS: number; readonly alarm: string; readonly why: string }[];
  readonly trend: readonly { readonly timeS: number; readonly vapourTempC: number }[];
}

/** What was used up to a moment: heat into the boiler as drawn, coolant as it flowed. */
interface Used {
  heatJ: number;
  coolantL: number;
}

function listener() {
  const events: Event[] = [];
  const trend: { timeS: number; vapourTempC: number }[] = [];
  const atPhase: (Used & { readonly phase: string; readonly atS: number })[] = [];
  const used: Used = { heatJ: 0, coolantL: 0 };
  let plant: Plant | null = null;
  let current: Run = freshRun(0);
  const follow = (input: Input): void => {
    if (plant === null) return;
    const gapS = Math.max(0, input.now - current.now);
    const result = scan(plant, current, input);
    current = result.run;
    events.push(...result.events);
    const rate = (kind: string) => {
      const id = Object.keys(plant!.still.points).find((point) => plant!.still.points[point]?.kind === kind);
      return id === undefined ? 0 : (current.image[id]?.value ?? 0);
    };
    used.heatJ += rate('heat-power') * gapS;
    used.coolantL += (rate('coolant-flow') * gapS) / 3600;
    const { vapourTempC } = current.estimate;
    if (vapourTempC !== null && (trend.at(-1)?.timeS ?? -60) <= input.now - 60)
      trend.push({ timeS: input.now, vapourTempC });
    for (const event of result.events)
      if (event.kind === 'phase') atPhase.push({ ...used, phase: event.to, atS: event.atS });
  };
  return {
    hear(line: { readonly plant?: Plant; readonly input?: Input }) {
      if (line.plant !== undefined) plant = line.plant;
      if (line.input !== undefined) follow(line.input);
    },
    end(simulated: Simulated): Rehearsal {
      if (plant === null) throw new Error('the simulated stillhouse told no plant');
      return rehearsalOf(plant, current, { events, trend, atPhase, used }, simulated);
    },
  };
}

interface Heard {
  readonly events: readonly Event[];
  readonly trend: Rehearsal['trend'];
  readonly atPhase: readonly (Used & { readonly phase: string; readonly atS: number })[];
  readonly used: Used;
}

function rehearsalOf(plant: Plant, run: Run, heard: Heard, simulated: Simulated): Rehearsal {
  const chargedL = (plant.charge?.volumeL ?? 0) * (plant.charge?.strengthAbv ?? 0);
  const cuts = simulated.cuts;
  const phases = heard.atPhase.slice(0, -1).map((from, index): PhaseLine => {
    const next = heard.atPhase[index + 1]!;
    const [here, there] = [cuts[index]?.truth, cuts[index + 1]?.truth];
    const volumeL = (there?.collectedL ?? 0) - (here?.collectedL ?? 0);
    const share = (there?.alcoholShare ?? 0) - (here?.alcoholShare ?? 0);
    const alcoholL = share * chargedL;
    return {
      phase: from.phase,
      fromS: from.atS,
      lastsS: next.atS - from.atS,
      volumeL,
      // What still hangs between boiler and spout makes the strength of a few drops meaningless.
      strengthAbv: volumeL > 0.1 ? Math.min(1, alcoholL / volumeL) : null,
      alcoholL,
      sharePercent: share * 100,
      heatKWh: (next.heatJ - from.heatJ) / 3.6e6,
      coolantL: next.coolantL - from.coolantL,
    };
  });
  return {
    still: plant.still.name,
    recipe: plant.recipe?.name ?? '',
    variant: plant.variant,
    state: run.state,
    phases,
    receivers: Object.entries(plant.still.receivers).map(([receiver, { capacityL }]) => {
      const held = simulated.fractions[receiver];
      const volumeL = held?.volumeL ?? 0;
      return { receiver, volumeL, capacityL, overflows: (held?.spilledL ?? 0) > 0 || volumeL > 0.95 * capacityL };
    }),
    asked: heard.events.flatMap((event) =>
      event.kind === 'cut-asked' ? [{ atS: event.atS, from: event.from, why: sayReason(event.reason, english) }] : [],
    ),
    alarms: heard.events.flatMap((event) =>
      event.kind === 'alarm' && event.transition === 'raised'
        ? [{ atS: event.atS, alarm: event.alarm, why: sayReason(event.reason, english) }]
        : [],
    ),
    trend: heard.trend,
  };
}

function show(rehearsal: Rehearsal): string {
  const rows = rehearsal.phases.map((line) => [
    sayName(line.phase, english),
    clock(line.fromS),
    clock(line.lastsS),
    line.volumeL.toFixed(2),
    line.strengthAbv === null ? '–' : (line.strengthAbv * 100).toFixed(1),
    line.alcoholL.toFixed(2),
    line.sharePercent.toFixed(1),
    line.heatKWh.toFixed(2),
    line.coolantL.toFixed(0),
  ]);
  const head = [
    'phase',
    'from',
    'lasts',
    'volume L',
    '% vol',
    'pure alcohol L',
    '% of charge',
    'heat kWh',
    'coolant L',
  ];
  const notes = [
    ...rehearsal.receivers.map(
      ({ receiver, volumeL, capacityL, overflows }) =>
        `${overflows ? 'OVERFLOWS  ' : ''}${receiver}: ${volumeL.toFixed(2)} of ${capacityL} L`,
    ),
    ...rehearsal.asked.map(({ atS, from, why }) => `asked at ${clock(atS)}, end of ${from}: ${why}`),
    ...rehearsal.alarms.map(({ atS, alarm, why }) => `alarm at ${clock(atS)}, ${alarm}: ${why}`),
  ];
  const title = `${rehearsal.recipe}${rehearsal.variant === null ? '' : ` (${rehearsal.variant})`} on ${rehearsal.still}, simulated`;
  const plot = plotLine(
    rehearsal.trend
      .filter(({ vapourTempC }) => vapourTempC > 60)
      .map(({ timeS, vapourTempC }) => [timeS / 3600, vapourTempC]),
    { width: 72, height: 10, x: 'hours', y: 'vapour °C' },
  );
  return `${title}\n\n${table(head, rows)}\n\n${plot}\n\n${notes.join('\n')}\n`;
}

export const rehearse: Command = { help, run };
