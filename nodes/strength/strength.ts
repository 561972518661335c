import type { Node, NodeAPI, NodeDef, NodeMessage } from 'node-red';
import { showProblem } from '../../lib/problems';
import type { Strength } from '../../lib/proofing';
import { createAirPressure, type PressureDef, pressureSetting } from '../shared/air-pressure';
import { type StrengthWay, strengthOf, strengthWays } from '../shared/strengths';
import { evaluate, type NumberFound, numberOf } from '../shared/typed-value';

interface StrengthDef extends NodeDef, PressureDef {
  readonly way?: StrengthWay;
  readonly value?: string;
  readonly valueType?: string;
  /** Of a temperature; of a hydrometer: percent, fraction or proof. */
  readonly unit?: string;
  readonly sample?: string;
  readonly sampleType?: string;
  readonly sampleUnit?: string;
  readonly basis?: '20C' | '60F';
  readonly shows?: 'percent' | 'fraction' | 'proof';
  readonly output?: string;
}

function shown(strength: Strength, shows: StrengthDef['shows']): number {
  if (shows === 'proof') return strength.proofUs;
  return shows === 'fraction' ? strength.strengthAbv : strength.strengthAbv * 100;
}

/** A hydrometer's reading as a fraction, whatever its scale shows. */
function readingAbv(found: NumberFound, unit: string): NumberFound {
  if (found.kind === 'bad') return found;
  const divisor = unit === 'proof' ? 200 : unit === 'fraction' ? 1 : 100;
  return { kind: 'ok', value: found.value / divisor };
}

export = function register(RED: NodeAPI): void {
  function SpiritStrength(this: Node, def: StrengthDef): void {
    RED.nodes.createNode(this, def);
    const way = strengthWays.find((one) => one === def.way) ?? 'vapour';
    const byTemp = way === 'vapour' || way === 'boiler';
    const pressure = createAirPressure(RED, this, pressureSetting(def));
    const value = { value: def.value ?? 'payload', type: def.valueType ?? 'msg' };
    const sample = { value: def.sample ?? 'temperature', type: def.sampleType ?? 'msg' };
    const basis = def.unit === 'proof' ? '60F' : (def.basis ?? '20C');
    let toldWarning = '';

    const readValue = async (message: NodeMessage): Promise<NumberFound> => {
      const found = await evaluate(RED, this, message, value);
      if (byTemp) return numberOf(found, 'temperature', value, def.unit || 'C', 'C');
      const plain = numberOf(found, way === 'density' ? 'density' : 'reading', value, 'fraction', 'fraction');
      return way === 'density' ? plain : readingAbv(plain, def.unit || 'percent');
    };
    const readBeside = async (message: NodeMessage): Promise<NumberFound> =>
      byTemp
        ? pressure.read(message)
        : numberOf(
            await evaluate(RED, this, message, sample),
            'sample temperature',
            sample,
            def.sampleUnit || 'C',
            'C',
          );

    /** The message with the strength in it, or why there is none. */
    const answer = async (message: NodeMessage): Promise<NodeMessage | string> => {
      const [given, beside] = [await readValue(message), await readBeside(message)];
      const missing = [given, beside].flatMap((one) => (one.kind === 'bad' ? [showProblem(one.problem)] : []));
      if (given.kind === 'bad' || beside.kind === 'bad') return missing.join(' ');
      const found = strengthOf({ way, value: given.value, beside: beside.value, basis });
      if (found.kind === 'bad') return found.problems.map(showProblem).join(' ');
      const warnings = found.warnings.map(showProblem);
      const warned = found.warnings.map((one) => one.path + one.severity).join();
      if (warnings.length > 0 && warned !== toldWarning) this.warn(warnings.join(' '));
      toldWarning = warned;
      RED.util.setMessageProperty(message, def.output || 'payload', shown(found.value, def.shows), true);
      message.strength = {
        volPercent: found.value.strengthAbv * 100,
        proofUs: found.value.proofUs,
        massPercent: found.value.massFraction * 100,
        density20KgM3: found.value.density20KgM3,
        warnings,
      };
      this.status({
        fill: warnings.length > 0 ? 'yellow' : 'grey',
        shape: 'ring',
        text:
          def.shows === 'proof'
            ? `${found.value.proofUs.toFixed(1)} proof`
            : `${(found.value.strengthAbv * 100).toFixed(1)} % vol`,
      });
      return message;
    };

    this.on('input', (message, send, done) => {
      if (message.reset !== undefined && message.reset !== false) {
        pressure.forget();
        toldWarning = '';
        this.status({});
        done();
        return;
      }
      const heard = byTemp ? pressure.hear(message) : null;
      if (heard !== null) {
        done(heard.kind === 'bad' ? new Error(showProblem(heard.problem)) : undefined);
        return;
      }
      answer(message).then((said) => {
        if (typeof said === 'string') return done(new Error(said));
        send(said);
        done();
      }, done);
    });
  }

  RED.nodes.registerType('middlecut-strength', SpiritStrength);
};
