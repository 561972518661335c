import { call } from './api.js';
import { button, labelled, make, put, setText, show } from './dom.js';
import { askSure, give, newId, tellAnswer } from './orders.js';
import { say } from './words.js';

/** @typedef {import('../views').StillView} StillView */
/** @typedef {import('../views').RecipeView} RecipeView */

/**
 * The form that starts a run: recipe, variant, charge; then what the daemon thinks of it; then once more.
 * @param {() => StillView | undefined} current
 */
export async function openStart(current) {
  const view = current();
  if (view === undefined) return;
  /** @type {readonly RecipeView[]} */
  let recipes;
  try {
    recipes = await call(`stills/${encodeURIComponent(view.id)}/recipes`);
  } catch (error) {
    tellAnswer(say('failed', { why: String(error instanceof Error ? error.message : error) }), false);
    return;
  }
  const first = recipes[0];
  if (first === undefined) {
    tellAnswer(say('start.none'), false);
    return;
  }
  const form = createForm(recipes, first);
  const dialog = make(
    'dialog',
    { 'aria-labelledby': 'start-title' },
    make('h2', { id: 'start-title' }, say('start.title')),
  );
  const wrong = make('p', { class: 'wrong', role: 'alert' });
  const go = async () => {
    const order = { order: 'start', ...form.read() };
    const seen = current();
    if (seen === undefined) return;
    try {
      const found = await call(`stills/${encodeURIComponent(seen.id)}/start-check`, {
        order: { ...order, id: newId() },
      });
      const errors = found.filter((/** @type {any} */ one) => one.severity === 'error');
      setText(wrong, errors.map((/** @type {any} */ one) => one.said).join('\n'));
      if (errors.length > 0) return;
      dialog.close();
      await confirmStart(
        seen,
        order,
        found.map((/** @type {any} */ one) => one.said),
      );
    } catch (error) {
      setText(wrong, String(error instanceof Error ? error.message : error));
    }
  };
  put(
    dialog,
    form.element,
    wrong,
    make(
      'div',
      { class: 'row' },
      button(say('sure.back'), () => dialog.close()),
      button(say('start.check'), () => void go(), 'main'),
    ),
  );
  dialog.addEventListener('close', () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
}

/**
 * @param {StillView} view as it was when the form was filled in
 * @param {Record<string, unknown>} order
 * @param {readonly string[]} warnings
 */
async function confirmStart(view, order, warnings) {
  const name = order.variant === undefined ? String(order.recipe) : `${order.recipe} (${order.variant})`;
  const isSure = await askSure({
    title: say('start.sure', { recipe: name }),
    lines: [say('start.sure-what')],
    yes: say('start.yes'),
    warnings,
  });
  if (isSure) await give(view, order);
}

/** @param {readonly RecipeView[]} recipes @param {RecipeView} first */
function createForm(recipes, first) {
  let chosen = first;
  const recipe = make('select', {}, ...recipes.map(({ name }) => make('option', { value: name }, name)));
  const about = make('p', { class: 'hint' });
  const unfit = make('p', { class: 'wrong' });
  const variants = make('fieldset', { class: 'field' });
  const charge = make('input', { type: 'number', inputmode: 'decimal', min: 0, step: 'any' });
  const strength = make('input', { type: 'number', inputmode: 'decimal', min: 0, max: 100, step: 'any' });
  const needs = make('p', { class: 'hint' }, say('start.needs-charge'));
  const set = () => {
    chosen = recipes.find(({ name }) => name === recipe.value) ?? first;
    setText(about, chosen.about ?? '');
    setText(unfit, chosen.potable ? '' : say('never-potable', { kind: chosen.kind }));
    show(unfit, !chosen.potable);
    show(needs, chosen.needsCharge);
    charge.value = chosen.usualChargeL === null ? '' : String(chosen.usualChargeL);
    strength.value = chosen.usualChargeVolPercent === null ? '' : String(chosen.usualChargeVolPercent);
    const plain = { name: '', about: say('start.as-written') };
    const named = chosen.variants.length === 0 ? [] : [...chosen.variants, plain];
    variants.replaceChildren(make('legend', {}, say('start.variant')), ...named.map(variantChoice));
    show(variants, named.length > 0);
  };
  recipe.addEventListener('change', set);
  set();
  const element = make('div', {}, labelled(say('start.recipe'), recipe), about, unfit, variants);
  put(
    element,
    make('div', { class: 'pair' }, labelled(say('start.charge'), charge), labelled(say('start.strength'), strength)),
    needs,
  );
  const jars = createJarSteps();
  put(element, jars.element);
  return {
    element,
    read() {
      const variant = /** @type {HTMLInputElement | null} */ (variants.querySelector(':checked'))?.value ?? '';
      return {
        recipe: chosen.name,
        ...(variant === '' ? {} : { variant }),
        ...(charge.value === '' ? {} : { chargeL: Number(charge.value) }),
        ...(strength.value === '' ? {} : { chargeVolPercent: Number(strength.value) }),
        ...jars.read(),
      };
    },
  };
}

/** What makes a run a development run: jars that are changed by themselves. */
function createJarSteps() {
  /** @param {string} words */
  const step = (words) => {
    const input = make('input', { type: 'number', inputmode: 'decimal', min: 0, step: 'any' });
    return { input, row: labelled(say(words), input) };
  };
  const [volume, minutes, rise] = [step('start.every-l'), step('start.every-min'), step('start.every-k')];
  const element = make(
    'details',
    { class: 'field' },
    make('summary', {}, say('start.development')),
    make('p', { class: 'hint' }, say('start.development-what')),
    make('div', { class: 'pair' }, volume.row, minutes.row),
    rise.row,
  );
  return {
    element,
    /** A form that is folded up again wants no jars. */
    read() {
      const steps = {
        ...(volume.input.value === '' ? {} : { everyL: Number(volume.input.value) }),
        ...(minutes.input.value === '' ? {} : { everyS: 60 * Number(minutes.input.value) }),
        ...(rise.input.value === '' ? {} : { everyK: Number(rise.input.value) }),
      };
      const isWanted = /** @type {HTMLDetailsElement} */ (element).open && Object.keys(steps).length > 0;
      return isWanted ? { jars: steps } : {};
    },
  };
}

/** @param {{ name: string, about: string | null }} variant @param {number} index */
function variantChoice(variant, index) {
  const radio = make('input', { type: 'radio', name: 'variant', value: variant.name, checked: index === 0 });
  const words =
    variant.name === ''
      ? (variant.about ?? '')
      : `${variant.name}${variant.about === null ? '' : `: ${variant.about}`}`;
  return make('label', { class: 'choice' }, radio, make('span', {}, words));
}
