import { join } from 'node:path';
import type { NodeAPI } from 'node-red';
import { compilePlant } from '../../lib/engine/plant';
import { type Checked, showProblem } from '../../lib/problems';
import type { Recipe } from '../../lib/recipe/schema';
import { driveSchema, pointKinds, type Still } from '../../lib/still/schema';
import { type Quantity, quantityOf, unitsOf } from '../../lib/units';
import { unitOfKind } from '../../lib/wire';
import { languages } from '../../lib/words';
import { asRecipe, asStill, type CheckedText, checkFile, checkText, type PlacedProblem } from './documents';

/** A document as an edit dialog holds it. */
export interface Draft {
  readonly source?: string;
  readonly document?: string;
  readonly file?: string;
}

interface CheckRequest {
  readonly kind?: string;
  readonly draft?: Draft;
  /** The still a recipe is to run on. */
  readonly still?: Draft;
}

interface ShownProblem {
  readonly text: string;
  readonly severity: string;
  readonly line: number | null;
}

function checkDraft<T>(
  draft: Draft | undefined,
  folder: string,
  check: (document: unknown) => Checked<T>,
): CheckedText<T> {
  return draft?.source === 'file'
    ? checkFile(String(draft.file ?? ''), folder, check)
    : checkText(String(draft?.document ?? ''), check);
}

/** A recipe on a still, in all its variants; three quarters of the boiler stand in for the charge. */
function checkTogether(still: Still, recipe: Recipe): PlacedProblem[] {
  const charge = { volumeL: Math.max(still.boilerVolumeL * 0.75, still.heelL + 0.001), strengthAbv: 0.28 };
  const found = new Map<string, PlacedProblem>();
  for (const variant of [null, ...Object.keys(recipe.variants)]) {
    const compiled = compilePlant(still, recipe, variant, charge);
    for (const one of compiled.kind === 'ok' ? compiled.warnings : compiled.problems) {
      const key = showProblem(one);
      if (!found.has(key)) found.set(key, variant === null ? one : { ...one, path: `${one.path} (${variant})` });
    }
  }
  return [...found.values()];
}

/** What an edit dialog is told about its document: the messages of `middlecut check`, and what it may choose from. */
export function answerCheck(request: CheckRequest, folder: string) {
  const shown = (one: PlacedProblem): ShownProblem => ({
    text: showProblem(one),
    severity: one.severity,
    line: one.line ?? null,
  });
  if (request.kind === 'still') {
    const { value, problems } = checkDraft(request.draft, folder, asStill);
    return { ok: value !== null, problems: problems.map(shown), still: value };
  }
  const { value, problems } = checkDraft(request.draft, folder, asRecipe);
  const still = request.still === undefined ? null : checkDraft(request.still, folder, asStill).value;
  const together = value === null || still === null ? [] : checkTogether(still, value);
  return {
    ok: value !== null && together.every((one) => one.severity !== 'error'),
    problems: [...problems, ...together].map(shown),
    recipe: value,
  };
}

/** What the edit dialogs offer, taken from the core so that they never fall behind it. */
export function choices() {
  const quantities = new Map<Quantity, readonly string[]>();
  const points = Object.entries(pointKinds).map(([kind, facts]) => {
    const unit = unitOfKind(kind as keyof typeof pointKinds);
    const quantity = unit === null ? null : quantityOf(unit);
    if (quantity !== null && !quantities.has(quantity)) quantities.set(quantity, unitsOf(quantity));
    return {
      kind,
      unit: facts.unit,
      what: facts.what,
      units: quantity === null ? [] : (quantities.get(quantity) ?? []),
    };
  });
  const drives = driveSchema.options.map((option) => option.shape.kind.value);
  return { points, drives, languages: Object.keys(languages) };
}

/** Routes for the edit dialogs: check a document, list the choices, the script they share. */
export function registerEditorRoutes(RED: NodeAPI): void {
  const folder = () => RED.settings.userDir ?? '.';
  RED.httpAdmin.get('/middlecut/choices', RED.auth.needsPermission('flows.read'), (_request, response) => {
    response.json(choices());
  });
  RED.httpAdmin.post('/middlecut/check', RED.auth.needsPermission('flows.write'), (request, response) => {
    response.json(answerCheck((request.body ?? {}) as CheckRequest, folder()));
  });
  for (const script of ['editor.js', 'tables.js', 'still-form.js', 'still-templates.js', 'recipe-form.js']) {
    RED.httpAdmin.get(`/middlecut/${script}`, (_request, response) => {
      response.sendFile(join(__dirname, script));
    });
  }
}
