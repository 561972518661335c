import { valueOfKind } from '../../lib/engine/image';
import type { Plant, Run } from '../../lib/engine/types';
import { type Saying, sayName, showTemperature } from '../../lib/words';
import { standingAlarms } from './announce';

/** What a node shows under itself. */
export interface Status {
  readonly fill: 'red' | 'green' | 'yellow' | 'blue' | 'grey';
  readonly shape: 'ring' | 'dot';
  readonly text: string;
}

const longest = 20;

function fitted(text: string): string {
  return text.length <= longest ? text : `${text.slice(0, longest - 1)}…`;
}

function headword(run: Run, saying: Saying): string {
  if (run.cut.asked) return `${sayName(run.phase, saying)}?`;
  if (run.state === 'held' || (run.state === 'aborted' && run.phase !== 'idle')) return sayName(run.state, saying);
  return run.phase === 'idle' ? sayName(run.state, saying) : sayName(run.phase, saying);
}

/** Phase and vapour temperature in a few letters; red where an alarm stands or the run was tripped. */
export function statusOf(plant: Plant, run: Run, watchOnly: boolean, saying: Saying): Status {
  const vapourC = valueOfKind(plant, run.image, 'vapour-temp') ?? valueOfKind(plant, run.image, 'boiler-temp');
  const alarms = standingAlarms(plant, run, watchOnly);
  const word = watchOnly ? (alarms[0]?.[0].split(':', 1)[0] ?? '') : headword(run, saying);
  const temperature = vapourC === null ? '' : showTemperature(vapourC, saying);
  const text = fitted([word, temperature].filter((part) => part !== '').join(' ') || '–');
  if (alarms.length > 0 || run.trips.length > 0)
    return { fill: 'red', shape: run.trips.length > 0 ? 'dot' : 'ring', text };
  if (run.cut.asked || (run.spoutAsked !== null && run.spoutAsked !== run.receiver))
    return { fill: 'blue', shape: 'dot', text };
  if (run.state === 'held') return { fill: 'yellow', shape: 'dot', text };
  if (run.state === 'running') return { fill: 'green', shape: 'dot', text };
  return { fill: watchOnly && vapourC !== null ? 'green' : 'grey', shape: 'ring', text };
}
