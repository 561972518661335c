import { compilePlant } from '../../lib/engine/plant';
import { scan } from '../../lib/engine/scan';
import type { Charge, Input, Order, Plant, Reason, Run } from '../../lib/engine/types';
import { type Checked, type Problem, problem } from '../../lib/problems';
import type { Recipe } from '../../lib/recipe/schema';
import type { Still } from '../../lib/still/schema';
import type { OrderMessage } from '../../lib/wire';
import type { Journal, RunHeader, Stored } from '../store';

/** Why the engine would not start the run; null where it would. The record keeps no runs that never began. */
export function refusalOf(plant: Plant, initial: Run, input: Input, order: Order): Reason | null {
  const { events } = scan(plant, initial, { ...input, orders: [...input.orders, order] });
  const answer = events.find((event) => event.kind === 'order' && event.order.id === order.id);
  return answer?.kind === 'order' && !answer.accepted ? answer.reason : null;
}

/** Runs of one still in one second of a clock, a clock that was put back, a computer without one: each has its own name. */
const mostOfOneName = 1000;

export function beginRun(
  journal: Journal,
  still: string,
  startedAtMs: number,
  header: Pick<RunHeader, 'plant' | 'initial' | 'about'>,
): Stored<string> {
  const name = `${still}-${new Date(startedAtMs).toISOString().replace(/[-:]/g, '').replace('T', '-').slice(0, 15)}`;
  for (let number = 1; ; number += 1) {
    const runId = number === 1 ? name : `${name}-${number}`;
    const begun = journal.beginRun({ ...header, runId, startedAtMs });
    if (begun.kind === 'ok') return { kind: 'ok', value: runId };
    if (begun.failure.kind !== 'exists' || number >= mostOfOneName) return begun;
  }
}

export function orderOf(message: OrderMessage, from: Order['from'], id: string): Order {
  const target = 'target' in message ? message.target : undefined;
  const forS = 'forS' in message ? message.forS : undefined;
  return {
    id,
    kind: message.order,
    by: message.by ?? (from === 'still' ? 'at the still' : 'remote'),
    from,
    ...(target === undefined ? {} : { target }),
    ...(forS === undefined ? {} : { forS }),
    ...(message.text === undefined ? {} : { text: message.text }),
  };
}

/** The plant an order to start asks for, or everything that is wrong with it. */
export function plantFor(
  still: Still,
  recipes: readonly Recipe[],
  message: Extract<OrderMessage, { order: 'start' }>,
): Checked<Plant> {
  const names = recipes.map((recipe) => recipe.name).join(', ');
  const recipe =
    message.recipe === undefined && recipes.length === 1
      ? recipes[0]
      : recipes.find((one) => one.name === message.recipe);
  const problems: Problem[] = [];
  if (recipe === undefined) {
    const remedy = names === '' ? 'Name recipe files under this still in the configuration' : `Use one of ${names}`;
    problems.push(
      problem(
        'recipe',
        message.recipe,
        message.recipe === undefined ? 'is missing' : 'is no recipe of this still',
        remedy,
      ),
    );
  }
  if ((message.chargeL === undefined) !== (message.chargeVolPercent === undefined)) {
    const path = message.chargeL === undefined ? 'chargeL' : 'chargeVolPercent';
    problems.push(problem(path, undefined, 'is missing', 'Give volume and strength of the charge together'));
  }
  if (recipe === undefined || problems.length > 0) return { kind: 'bad', problems };
  const charge: Charge | null =
    message.chargeL === undefined || message.chargeVolPercent === undefined
      ? null
      : { volumeL: message.chargeL, strengthAbv: message.chargeVolPercent / 100 };
  return compilePlant(still, recipe, message.variant ?? null, charge);
}
