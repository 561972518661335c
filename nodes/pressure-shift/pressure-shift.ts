import type { Node, NodeAPI, NodeDef, NodeMessage } from 'node-red';
import { shiftBoilerTemp, shiftVapourTemp } from '../../lib/physics';
import { showProblem } from '../../lib/problems';
import { convert } from '../../lib/units';
import { createAirPressure, type PressureDef, pressureSetting } from '../shared/air-pressure';
import { evaluate, numberOf } from '../shared/typed-value';

interface ShiftDef extends NodeDef, PressureDef {
  readonly line?: 'vapour' | 'boiler';
  readonly direction?: 'to-reference' | 'to-here';
  readonly value?: string;
  readonly valueType?: string;
  readonly unit?: string;
  readonly referenceHPa?: string | number;
  readonly output?: string;
}

export = function register(RED: NodeAPI): void {
  function PressureShift(this: Node, def: ShiftDef): void {
    RED.nodes.createNode(this, def);
    const pressure = createAirPressure(RED, this, pressureSetting(def));
    const value = { value: def.value ?? 'payload', type: def.valueType ?? 'msg' };
    const unit = def.unit || 'C';
    const referenceHPa = Number(def.referenceHPa) || 1013.25;
    const shift = def.line === 'boiler' ? shiftBoilerTemp : shiftVapourTemp;

    /** The message with the shifted temperature in it, or why there is none. */
    const answer = async (message: NodeMessage): Promise<NodeMessage | string> => {
      const here = await pressure.read(message);
      if (here.kind === 'bad') return showProblem(here.problem);
      const given = numberOf(await evaluate(RED, this, message, value), 'temperature', value, unit, 'C');
      if (given.kind === 'bad') return showProblem(given.problem);
      const [fromHPa, toHPa] = def.direction === 'to-here' ? [referenceHPa, here.value] : [here.value, referenceHPa];
      const shiftedC = shift(given.value, fromHPa, toHPa);
      const back = convert(shiftedC, 'C', unit);
      if (back.kind === 'error')
        return `temperature: ${given.value} °C cannot be shifted from ${fromHPa} to ${toHPa} hPa`;
      RED.util.setMessageProperty(message, def.output || 'payload', back.value, true);
      message.shift = { fromHPa, toHPa, givenC: given.value, shiftedC, byK: shiftedC - given.value };
      this.status({
        fill: 'grey',
        shape: 'ring',
        text: `${shiftedC >= given.value ? '+' : '−'}${Math.abs(shiftedC - given.value).toFixed(2)} K`,
      });
      return message;
    };

    this.on('input', (message, send, done) => {
      if (message.reset !== undefined && message.reset !== false) {
        pressure.forget();
        this.status({});
        done();
        return;
      }
      const heard = pressure.hear(message);
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

  RED.nodes.registerType('middlecut-pressure-shift', PressureShift);
};
