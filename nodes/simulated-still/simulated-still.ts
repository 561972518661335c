import type { Node, NodeAPI, NodeDef, NodeMessage } from 'node-red';
import type { Reason } from '../../lib/engine/types';
import { canonicalJson } from '../../lib/record';
import { sayReason, showTemperature } from '../../lib/words';
import { periodFor, pulse } from '../shared/pulse';
import { createSimulation, isMishap, mishaps, type Simulation } from '../shared/simulation';
import { stillOf } from '../shared/station-node';

interface SimulatedStillDef extends NodeDef {
  readonly still?: string;
  readonly chargeL?: string | number;
  readonly chargeVolPercent?: string | number;
  readonly seed?: string | number;
}

/** Simulated stills outlive a redeploy, as real ones do: by node, with what they were made from. */
const standing = new Map<string, { readonly madeFrom: string; readonly simulation: Simulation }>();

const truthEveryMs = 2000;

/** A command as the run node sends it, or any message with a drive's name as topic. */
function commandIn(message: NodeMessage): { drive: string; value: number | string; ttlS: number } | null {
  const sent = message.command as { value?: unknown; ttlS?: unknown } | undefined;
  const drive = typeof message.drive === 'string' ? message.drive : message.topic;
  const given = sent?.value ?? message.payload;
  const value = typeof given === 'boolean' ? Number(given) : given;
  if (typeof drive !== 'string' || (typeof value !== 'number' && typeof value !== 'string')) return null;
  return { drive, value, ttlS: typeof sent?.ttlS === 'number' ? sent.ttlS : 10 };
}

/** What a message asks of the simulated still; what is wrong with it, or null. */
function obey(simulation: Simulation, message: NodeMessage): Reason | null {
  const isCommand = message.command !== undefined;
  if (!isCommand && message.topic === 'mishap') {
    const word = String(message.payload);
    if (word !== 'none' && !isMishap(word)) {
      const numbers = { value: word, mishaps: [...Object.keys(mishaps), 'none'].join(', ') };
      return { code: 'node.no-mishap', numbers };
    }
    simulation.befall(word === 'none' ? 'none' : (word as keyof typeof mishaps));
    return null;
  }
  if (!isCommand && message.topic === 'spout-moved') {
    simulation.moveSpout(String(message.payload));
    return null;
  }
  const command = commandIn(message);
  const drives = Object.keys(simulation.still.drives).join(', ');
  if (command === null) return { code: 'node.no-command', numbers: { drives } };
  if (simulation.command(command.drive, command.value, command.ttlS)) return null;
  const numbers = { target: command.drive, value: JSON.stringify(command.value), drives };
  return { code: 'node.no-drive', numbers };
}

export = function register(RED: NodeAPI): void {
  function SimulatedStill(this: Node, def: SimulatedStillDef): void {
    RED.nodes.createNode(this, def);
    const stillNode = stillOf(RED, this, def.still);
    const still = stillNode?.checked.value ?? null;
    if (stillNode === null || still === null) return;
    const setup = {
      still,
      chargeL: Number(def.chargeL) > 0 ? Number(def.chargeL) : still.boilerVolumeL * 0.9,
      chargeAbv: Number(def.chargeVolPercent) > 0 ? Number(def.chargeVolPercent) / 100 : 0.29,
      seed: Number(def.seed) || 1,
    };
    const madeFrom = canonicalJson(setup);
    const known = standing.get(this.id);
    let simulation = known?.madeFrom === madeFrom ? known.simulation : createSimulation(setup);
    standing.set(this.id, { madeFrom, simulation });
    const { speed, saying } = stillNode;
    const clockMs = pulse.clock(speed);
    let lastMs = clockMs();
    let owedS = 0;
    let truthMs = Number.NEGATIVE_INFINITY;

    const beat = () => {
      const nowMs = clockMs();
      owedS += ((nowMs - lastMs) / 1000) * speed;
      lastMs = nowMs;
      const before = simulation.atS;
      const readings = simulation.advance(before + owedS);
      owedS = Math.min(owedS - (simulation.atS - before), 10);
      const due = nowMs - truthMs >= truthEveryMs;
      if (due) truthMs = nowMs;
      const truth = due ? [{ topic: `${still.id}/truth`, payload: simulation.truth() }] : [];
      this.send([readings.map(({ point, value }) => ({ topic: point, payload: value })), truth]);
      const vapour = readings.find((reading) => still.points[reading.point]?.kind === 'vapour-temp');
      if (due && vapour !== undefined) {
        const text = `${showTemperature(vapour.value, saying)}${speed > 1 ? ` ×${speed}` : ''}`;
        this.status({ fill: 'grey', shape: 'ring', text });
      }
    };
    const joined = pulse.join({ periodMs: periodFor(speed), beat });
    this.on('input', (message, _send, done) => {
      if (message.reset !== undefined && message.reset !== false) {
        simulation = createSimulation(setup);
        standing.set(this.id, { madeFrom, simulation });
        done();
        return;
      }
      const wrong = obey(simulation, message);
      done(wrong === null ? undefined : new Error(sayReason(wrong, saying)));
    });
    this.on('close', (removed: boolean, done: () => void) => {
      joined.leave();
      if (removed) standing.delete(this.id);
      done();
    });
  }

  RED.nodes.registerType('middlecut-simulated-still', SimulatedStill);
};
