import type { Rig } from '../../simulators/rig';
import type { Act } from './case';
import type { Trial } from './draw';
import type { TestEngine } from './engine';

/** What is done to a still besides its faults, and how long the trouble is left to itself. */
export interface Stage {
  act(atS: number): void;
  isOn(atS: number): boolean;
  isOver(atS: number, isSettled: boolean): boolean;
  heal(atS: number): void;
}

/** Carries out what the trial does besides faults, and decides when nothing more can come of the trouble. */
export function createStage(trial: Trial, engine: TestEngine, rig: Rig): Stage {
  const waiting = [...trial.acts];
  const ends: { readonly atS: number; readonly what: () => void }[] = [];
  let isAway = false;
  let nextAttendS = rig.site.state.atS + 300;
  let settledAtS: number | null = null;
  const start = (kind: Act['kind'], atS: number, forS: number): void => {
    switch (kind) {
      case 'kill':
        rig.replaceController(null);
        ends.push({
          atS: atS + forS,
          what: () => {
            engine.restart(forS);
            rig.replaceController(engine);
          },
        });
        break;
      case 'freeze':
        engine.isFrozen = true;
        ends.push({ atS: atS + forS, what: () => (engine.isFrozen = false) });
        break;
      case 'disk-full':
        engine.isDiskFull = true;
        ends.push({ atS: atS + forS, what: () => (engine.isDiskFull = false) });
        break;
      case 'hold':
        rig.order({ id: `hold-${atS}`, kind: 'hold', by: 'operator', from: 'still' });
        break;
      case 'leave':
        isAway = true;
        break;
    }
  };
  return {
    act(atS) {
      for (const end of ends.filter((one) => one.atS <= atS)) {
        ends.splice(ends.indexOf(end), 1);
        end.what();
      }
      for (const act of waiting.filter((one) => one.atS <= atS)) {
        waiting.splice(waiting.indexOf(act), 1);
        start(act.kind, atS, act.forS);
      }
      if (!isAway && atS >= nextAttendS) {
        nextAttendS = atS + 300;
        rig.order({ id: `attend-${atS}`, kind: 'attend', by: 'operator', from: 'still' });
      }
    },
    isOn: (atS) => atS >= trial.fromS && atS < trial.untilS,
    isOver(atS, isSettled) {
      if (waiting.length > 0 || ends.length > 0 || trial.second !== null) return false;
      if (!isSettled) return false;
      settledAtS ??= atS;
      return atS - settledAtS >= trial.lingerS;
    },
    heal(atS) {
      for (const plan of trial.plans) plan.untilS = Math.min(plan.untilS, atS);
      waiting.length = 0;
      for (const end of ends.splice(0)) end.what();
    },
  };
}
