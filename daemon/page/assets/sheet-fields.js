import { button, labelled, make, put, setText, show } from './dom.js';
import { tempNumber, typedTempC, wallClock } from './figures.js';
import { say } from './words.js';

/** Fields that save themselves as they are typed. */

/** @typedef {import('./drafts.js').SheetPart} SheetPart */
/** @typedef {{ element: HTMLElement, update: () => void }} Field */

/** @param {SheetPart} part @param {string} field @param {string} label @param {{ rows?: number, hint?: string, longest?: number }} [more] @returns {Field} */
export function textField(part, field, label, { rows = 2, hint, longest = 500 } = {}) {
  const input =
    rows > 1 ? make('textarea', { rows, maxlength: longest }) : make('input', { type: 'text', maxlength: longest });
  input.addEventListener('input', () => part.set(field, input.value === '' ? null : input.value));
  input.addEventListener('blur', () => void part.save());
  return { element: labelled(label, input, hint), update: () => refresh(input, String(part.value(field) ?? '')) };
}

/**
 * @param {SheetPart} part
 * @param {string} field
 * @param {string} label
 * @param {{ isTemp?: boolean, hint?: string }} [more]
 * @returns {Field}
 */
export function numberField(part, field, label, { isTemp = false, hint } = {}) {
  const input = make('input', { type: 'text', inputmode: 'decimal', maxlength: 12, autocomplete: 'off' });
  const wrong = make('p', { class: 'wrong', hidden: true });
  input.addEventListener('input', () => {
    const typed = Number(input.value.trim().replace(',', '.'));
    const isGood = input.value.trim() === '' || Number.isFinite(typed);
    show(wrong, !isGood);
    setText(wrong, isGood ? '' : `✕ ${input.value}`);
    if (!isGood) return;
    const value = isTemp ? Math.round(typedTempC(typed) * 1000) / 1000 : typed;
    part.set(field, input.value.trim() === '' ? null : value);
  });
  input.addEventListener('blur', () => void part.save());
  const element = labelled(label, input, hint);
  element.append(wrong);
  const text = () => {
    const value = part.value(field);
    if (typeof value !== 'number') return '';
    return isTemp ? tempNumber(value, 2).replace(/0$/, '') : String(Math.round(value * 1000) / 1000);
  };
  return { element, update: () => refresh(input, text()) };
}

/** What somebody is typing in is left alone. @param {HTMLInputElement | HTMLTextAreaElement} input @param {string} text */
function refresh(input, text) {
  if (document.activeElement !== input && input.value !== text) input.value = text;
}

const verdicts = ['in', 'in-for-oak', 'out', 'unsure'];

/** Four large buttons, one of them pressed. @param {SheetPart} part @param {string} label @returns {Field} */
export function verdictField(part, label) {
  const buttons = verdicts.map((verdict) => {
    const press = () => {
      part.set('verdict', part.value('verdict') === verdict ? null : verdict);
      void part.save();
    };
    return { verdict, element: button(say(`verdict.${verdict}`), press, 'small') };
  });
  const group = make(
    'div',
    { class: 'verdicts', role: 'group', 'aria-label': label },
    ...buttons.map(({ element }) => element),
  );
  const update = () => {
    for (const { verdict, element } of buttons)
      element.setAttribute('aria-pressed', String(part.value('verdict') === verdict));
  };
  return { element: make('div', { class: 'field' }, make('p', { class: 'strong' }, label), group), update };
}

/** @param {SheetPart} part @returns {Field} */
export function intensityField(part) {
  const select = make(
    'select',
    {},
    make('option', { value: '' }, say('verdict.none')),
    ...[0, 1, 2, 3, 4, 5].map((n) => make('option', { value: n }, String(n))),
  );
  select.addEventListener('change', () => {
    part.set('intensity', select.value === '' ? null : Number(select.value));
    void part.save();
  });
  const update = () => {
    const value = String(part.value('intensity') ?? '');
    if (document.activeElement !== select && select.value !== value) select.value = value;
  };
  return { element: labelled(say('jar.intensity'), select, say('jar.intensity-hint')), update };
}

/** @param {unknown} value @returns {readonly string[]} */
const listOf = (value) => (Array.isArray(value) ? value.map(String) : []);

/**
 * Words with commas between, and the trade's to tap.
 * @param {SheetPart} part
 * @param {Readonly<Record<string, string>>} words
 * @returns {Field}
 */
export function wordsField(part, words) {
  const input = make('input', { type: 'text', maxlength: 400 });
  /** @param {readonly string[]} list */
  const set = (list) =>
    part.set('descriptors', list.length === 0 ? null : list.slice(0, 24).map((word) => word.slice(0, 40)));
  input.addEventListener('input', () =>
    set(
      input.value
        .split(',')
        .map((word) => word.trim())
        .filter(Boolean),
    ),
  );
  input.addEventListener('blur', () => void part.save());
  const buttons = Object.keys(words).map((word) => {
    const press = () => {
      const list = listOf(part.value('descriptors'));
      set(list.includes(word) ? list.filter((one) => one !== word) : [...list, word]);
      update();
    };
    return { word, element: button(word, press, 'small') };
  });
  const chips = ['heads', 'hearts', 'tails'].map((fraction) =>
    make(
      'div',
      { class: 'field' },
      make('p', { class: 'hint' }, say('jar.points-to', { fraction })),
      make(
        'div',
        { class: 'row' },
        ...buttons.filter(({ word }) => words[word] === fraction).map(({ element }) => element),
      ),
    ),
  );
  const update = () => {
    const list = listOf(part.value('descriptors'));
    refresh(input, list.join(', '));
    for (const { word, element } of buttons) element.setAttribute('aria-pressed', String(list.includes(word)));
  };
  const element = labelled(say('jar.descriptors'), input, say('jar.descriptors-hint'));
  element.append(make('details', {}, make('summary', {}, say('jar.words')), ...chips));
  return { element, update };
}

/** How things stand with a part, in words; and the choice where two wrote the same. @param {SheetPart} part @returns {Field} */
export function saveState(part) {
  const text = make('p', { class: 'save-state' });
  const choice = make('div', { class: 'row' });
  put(
    choice,
    button(say('save.mine'), () => part.settle(true), 'small'),
    button(say('save.theirs'), () => part.settle(false), 'small'),
  );
  const update = () => {
    const { state } = part;
    show(choice, state.kind === 'conflict');
    text.classList.toggle('wrong', state.kind === 'wrong' || state.kind === 'conflict');
    setText(text, stateText(part));
  };
  return { element: make('div', {}, text, choice), update };
}

/** @param {SheetPart} part */
function stateText({ state, change, saved }) {
  switch (state.kind) {
    case 'saved':
      return `✓ ${say('save.saved', { at: state.at === '' ? '' : wallClock(state.at) })}`;
    case 'waiting':
      return `… ${say('save.waiting')}`;
    case 'saving':
      return `… ${say('save.saving')}`;
    case 'wrong':
      return `✕ ${say('save.wrong', { why: state.why })}`;
    case 'conflict': {
      const theirs = Object.keys(change).map((field) => String(state.theirs[field] ?? ''));
      return `✕ ${say('save.conflict', { theirs: theirs.join(' / ') })}`;
    }
    case 'clean':
      return saved.savedAt === null ? '' : `✓ ${say('save.saved', { at: wallClock(saved.savedAt) })}`;
  }
}
