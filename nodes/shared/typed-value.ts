import type { Node, NodeAPI, NodeMessage } from 'node-red';
import { type Problem, problem } from '../../lib/problems';
import { convert, type Unit } from '../../lib/units';
import { numberOfText } from '../../lib/wire';

/** A value that a setting names: in the message, fixed, or in a context. */
export interface TypedValue {
  readonly value: string;
  readonly type: string;
}

export type Evaluated = { readonly kind: 'value'; readonly value: unknown } | { readonly kind: 'none' };

/** What a typed input stands for now; none where nothing is there. */
export function evaluate(RED: NodeAPI, node: Node, message: NodeMessage, typed: TypedValue): Promise<Evaluated> {
  return new Promise((resolve) => {
    try {
      RED.util.evaluateNodeProperty(typed.value, typed.type, node, message, (error: Error | null, value: unknown) => {
        resolve(error || value === undefined || value === null ? { kind: 'none' } : { kind: 'value', value });
      });
    } catch {
      resolve({ kind: 'none' });
    }
  });
}

export type NumberFound =
  | { readonly kind: 'ok'; readonly value: number }
  | { readonly kind: 'bad'; readonly problem: Problem };

/** A finite number out of whatever was found, in the unit wanted. */
export function numberOf(found: Evaluated, name: string, typed: TypedValue, from: string, to: Unit): NumberFound {
  const where = typed.type === 'msg' ? `msg.${typed.value}` : typed.type;
  if (found.kind === 'none')
    return {
      kind: 'bad',
      problem: problem(name, undefined, `nothing stands at ${where}`, 'Send it, or correct the setting'),
    };
  const raw = typeof found.value === 'string' ? numberOfText(found.value, false) : found.value;
  if (typeof raw !== 'number' || !Number.isFinite(raw))
    return { kind: 'bad', problem: problem(name, found.value, `is no number (${where})`, 'Send a plain number') };
  const converted = convert(raw, from, to);
  if (converted.kind === 'error')
    return { kind: 'bad', problem: problem(name, raw, converted.problem, converted.remedy) };
  return { kind: 'ok', value: converted.value };
}
