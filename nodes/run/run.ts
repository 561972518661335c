import type { Node, NodeAPI } from 'node-red';
import type { Charge, Recipe } from '../../lib';
import { showProblem } from '../../lib/problems';
import { asVariant } from '../../lib/recipe/variant';
import { canonicalJson } from '../../lib/record';
import { isRecipeNode, isStillNode, type RecipeNode } from '../shared/config-nodes';
import type { CommandRow } from '../shared/messages-out';
import { isUnderWay, type Saved } from '../shared/session';
import { type StationDef, workStation } from '../shared/station-node';
import { type Trouble, trouble } from '../shared/troubles';

interface RunDef extends StationDef {
  readonly recipe?: string;
  readonly variant?: string;
  readonly chargeL?: string | number;
  readonly chargeVolPercent?: string | number;
  readonly commands?: readonly CommandRow[];
  readonly ordersFrom?: 'still' | 'remote';
  readonly onClose?: 'safe' | 'nothing';
}

function chargeOf(def: RunDef): Charge | null {
  const volumeL = Number(def.chargeL);
  const percent = Number(def.chargeVolPercent);
  return volumeL > 0 && percent > 0 ? { volumeL, strengthAbv: percent / 100 } : null;
}

function receiveRecipe(recipeNode: RecipeNode | null, document: unknown): Trouble | null {
  if (recipeNode?.source !== 'flow') return trouble('recipe-fixed', '');
  const { value, problems } = recipeNode.accept(document);
  return value === null ? trouble('recipe-bad', '', { why: problems.map(showProblem).join(' ') }) : null;
}

/** Whether still and recipe are what a run under way began with. */
function sameAs(saved: Saved, still: unknown, recipe: Recipe | null): boolean {
  if (!isUnderWay(saved.run)) return true;
  const variant = recipe === null ? null : asVariant(recipe, saved.plant.variant);
  return (
    canonicalJson(saved.plant.still) === canonicalJson(still) &&
    (variant === null || canonicalJson(saved.plant.recipe) === canonicalJson(variant))
  );
}

export = function register(RED: NodeAPI): void {
  function RunNode(this: Node, def: RunDef): void {
    RED.nodes.createNode(this, def);
    const configured = def.recipe === undefined || def.recipe === '' ? null : RED.nodes.getNode(def.recipe);
    const recipeNode = isRecipeNode(configured) ? configured : null;
    const recipe = () => recipeNode?.current()?.value ?? null;
    const unusable = () => {
      const now = recipeNode?.current() ?? null;
      return now === null || now.value !== null ? null : now.problems.map(showProblem).join(' ');
    };
    const stillNode = RED.nodes.getNode(def.still ?? '');
    const still = isStillNode(stillNode) ? stillNode.checked.value : null;
    workStation(RED, this, def, {
      watchOnly: false,
      commands: def.commands ?? [],
      from: def.ordersFrom === 'remote' ? 'remote' : 'still',
      offer: () => ({ recipe: recipe(), variant: def.variant || null, charge: chargeOf(def), unusable: unusable() }),
      quietAtClose: def.onClose === 'nothing',
      recipe: (document) => receiveRecipe(recipeNode, document),
      isSame: (saved) => sameAs(saved, still, recipe()),
      outputs: ['drives', 'phase', 'alarms', 'events', 'state'],
    });
  }

  RED.nodes.registerType('middlecut-run', RunNode);
};
