import type { Node, NodeAPI, NodeDef, NodeMessage } from 'node-red';
import { doProofing, type ProofingRequest, type ProofingTask, proofingTasks } from '../shared/proofing-tasks';
import { evaluate } from '../shared/typed-value';

/** One quantity of the sum, as the editor keeps it. */
interface Quantity {
  readonly field: keyof ProofingRequest;
  readonly value: string;
  readonly type: string;
}

interface ProofingDef extends NodeDef {
  readonly task?: ProofingTask;
  readonly quantities?: readonly Quantity[];
  readonly output?: string;
}

export = function register(RED: NodeAPI): void {
  function Proofing(this: Node, def: ProofingDef): void {
    RED.nodes.createNode(this, def);
    const task = proofingTasks.find((one) => one === def.task) ?? 'reduce';

    /** Everything the settings name; what a payload object holds under the same names fills what they leave open. */
    const gather = async (message: NodeMessage): Promise<ProofingRequest> => {
      const payload = message.payload;
      const isObject = payload !== null && typeof payload === 'object' && !Array.isArray(payload);
      const request: Record<string, unknown> = isObject ? { ...payload } : {};
      for (const { field, value, type } of def.quantities ?? []) {
        if (value === '' && type !== 'jsonata') continue;
        const found = await evaluate(RED, this, message, { value, type });
        if (found.kind === 'value') request[field] = found.value;
      }
      return request;
    };

    this.on('input', (message, send, done) => {
      gather(message).then((request) => {
        const answer = doProofing(task, request);
        if (answer.kind === 'bad') {
          this.status({ fill: 'red', shape: 'ring', text: RED._('middlecut-proofing.status.bad') });
          return done(new Error(answer.why));
        }
        RED.util.setMessageProperty(message, def.output || 'payload', answer.value, true);
        message.warnings = answer.warnings;
        const { waterL, addL, volPercent } = answer.value as Record<string, number | undefined>;
        const litres = waterL ?? addL;
        const text = litres === undefined ? `${volPercent?.toFixed(1)} % vol` : `+${litres.toFixed(2)} L`;
        this.status({ fill: answer.warnings.length > 0 ? 'yellow' : 'grey', shape: 'ring', text });
        send(message);
        done();
      }, done);
    });
  }

  RED.nodes.registerType('middlecut-proofing', Proofing);
};
