import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Node, NodeAPI, NodeDef } from 'node-red';
import { showProblem } from '../../lib/problems';
import type { Recipe } from '../../lib/recipe/schema';
import type { RecipeNode } from '../shared/config-nodes';
import { asRecipe, type CheckedText, checkData, checkFile, checkText } from '../shared/documents';
import { writeWhole } from '../shared/keep';

interface RecipeDef extends NodeDef {
  readonly source?: RecipeNode['source'];
  readonly document?: string;
  readonly file?: string;
}

export = function register(RED: NodeAPI): void {
  function RecipeConfig(this: Node, def: RecipeDef): void {
    RED.nodes.createNode(this, def);
    const folder = RED.settings.userDir ?? '.';
    const kept = join(folder, 'middlecut', `recipe-${def.id}.json`);
    const source = def.source ?? 'typed';
    const typed = source === 'typed' ? checkText(def.document ?? '', asRecipe) : null;
    let came: CheckedText<Recipe> | null = source === 'flow' ? readKept(kept) : null;
    const config: Omit<RecipeNode, keyof Node> = {
      source,
      current: () => (source === 'file' ? checkFile(def.file ?? '', folder, asRecipe) : (typed ?? came)),
      accept: (document) => {
        const checked = checkData(document, asRecipe);
        if (checked.value === null) return checked;
        came = checked;
        try {
          writeWhole(kept, JSON.stringify(checked.value));
        } catch (error) {
          this.warn(`${kept}: ${error instanceof Error ? error.message : String(error)}`);
        }
        return checked;
      },
    };
    Object.assign(this, config);
    for (const one of config.current()?.problems ?? []) {
      const line = one.line === undefined ? '' : `line ${one.line}: `;
      if (one.severity === 'error') this.error(line + showProblem(one));
      else this.log(line + showProblem(one));
    }
  }

  RED.nodes.registerType('middlecut-recipe', RecipeConfig);
};

/** The last recipe that came from the flow, as it was written down; null where there is none that can be used. */
function readKept(file: string): CheckedText<Recipe> | null {
  try {
    const checked = checkText(readFileSync(file, 'utf8'), asRecipe);
    return checked.value === null ? null : checked;
  } catch {
    return null;
  }
}
