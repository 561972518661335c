import type { Node } from 'node-red';
import type { Recipe } from '../../lib/recipe/schema';
import type { Still } from '../../lib/still/schema';
import type { Saying } from '../../lib/words';
import type { CheckedText } from './documents';

/** The still config node as others see it. */
export interface StillNode extends Node {
  readonly checked: CheckedText<Still>;
  readonly saying: Saying;
  /** Engine seconds a second: 1, but for simulated stills. */
  readonly speed: number;
  /** One node runs a still; the name of the other where it is taken. */
  claim(by: string, name: string): string | null;
  release(by: string): void;
}

/** The recipe config node as others see it. */
export interface RecipeNode extends Node {
  readonly source: 'typed' | 'file' | 'flow';
  /** The recipe as it is now: a file is read again, one from the flow is the last that came. Null where none came yet. */
  current(): CheckedText<Recipe> | null;
  /** Takes a recipe that came in a message. */
  accept(document: unknown): CheckedText<Recipe>;
}

export function isStillNode(node: unknown): node is StillNode {
  return node !== null && typeof node === 'object' && (node as Node).type === 'middlecut-still';
}

export function isRecipeNode(node: unknown): node is RecipeNode {
  return node !== null && typeof node === 'object' && (node as Node).type === 'middlecut-recipe';
}
