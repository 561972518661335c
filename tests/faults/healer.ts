import type { OrderKind, Run } from '../../lib/engine/types';
import type { Rig } from '../../simulators/rig';
import type { Trial } from './draw';
import type { TestEngine } from './engine';

/** Everything is mended; somebody is there who acknowledges, empties what is full, and orders the run on to its end. */
export interface Healer {
  /** Called after every scan; true once the end is certain. */
  act(atS: number): boolean;
  /** How it ended. */
  end(): string;
  failures(): readonly string[];
}

function isAtItsEnd({ phase, state }: Run): boolean {
  return phase === 'cool-down' || state === 'complete' || state === 'stopped';
}

const lookEveryS = 30;
/** More resumes than this, and it is the engine that keeps the run from its end. */
const mostResumes = 12;

export function createHealer(trial: Trial, rig: Rig, engine: TestEngine): Healer {
  let nextS = rig.site.state.atS + 5;
  let nextAttendS = rig.site.state.atS;
  let count = 0;
  let resumes = 0;
  let stopped: string | null = null;
  const spoiled = [trial.one, trial.second].find((one) => one?.spoils !== undefined)?.spoils ?? null;
  const order = (kind: OrderKind, target?: string): void => {
    count += 1;
    const given = { id: `heal-${count}`, kind, by: 'operator', from: 'still' } as const;
    rig.order(target === undefined ? given : { ...given, target });
  };
  /** Empties what is full, and says so. */
  const empty = (receiver: string): void => {
    const state = rig.site.state.receivers[receiver];
    if (state !== undefined) Object.assign(state, { ethanolMol: 0, waterMol: 0, volumeL: 0 });
    order('receiver-emptied', receiver);
  };
  const carryOn = (): void => {
    const { run } = engine;
    for (const [id, { active }] of Object.entries(run.alarms)) {
      const [rule, receiver] = id.split(':', 2);
      if (active && rule === 'receiver-overflow' && receiver !== undefined) empty(receiver);
    }
    if (Object.values(run.alarms).some(({ standing, acknowledged }) => standing && !acknowledged))
      order('acknowledge', 'all');
    if (run.state === 'held' && spoiled !== null) {
      stopped = spoiled;
      order('stop');
    } else if (run.state === 'held') {
      resumes += 1;
      order('resume');
    }
  };
  return {
    act(atS) {
      if (atS >= nextAttendS) {
        nextAttendS = atS + 300;
        order('attend');
      }
      if (atS >= nextS) {
        nextS = atS + lookEveryS;
        carryOn();
      }
      return isAtItsEnd(engine.run) || resumes > 200;
    },
    end() {
      const { run } = engine;
      if (stopped !== null) return `stopped: ${stopped}`;
      const isFinished = (run.phase === 'cool-down' && run.state === 'running') || run.state === 'complete';
      return isFinished ? 'finished' : `${run.state} in ${run.phase}`;
    },
    failures() {
      const { run } = engine;
      if (!isAtItsEnd(run)) {
        const standing = run.trips.map(({ id }) => id).join(', ');
        return [`did not come to an end: ${run.state} in ${run.phase}, ${run.stateReason.code} ${standing}`];
      }
      return resumes > mostResumes ? [`${resumes} resumes until the end`] : [];
    },
  };
}
