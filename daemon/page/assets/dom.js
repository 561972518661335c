/** Small help for building what is shown. Texts are set only where they change, so that nothing flickers and readers are not disturbed. */

/** @typedef {Node | string | null | undefined | false} Child */
/** @typedef {Record<string, unknown>} Props */

/**
 * Makes an element. Properties that begin with `on` are listeners, booleans are properties, all else are attributes.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Props} [props]
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function make(tag, props = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (value === undefined || value === null) continue;
    if (name.startsWith('on')) element.addEventListener(name.slice(2), /** @type {EventListener} */ (value));
    else if (typeof value === 'boolean') Reflect.set(element, name, value);
    else element.setAttribute(name, String(value));
  }
  put(element, ...children);
  return element;
}

/**
 * @param {Element} element
 * @param {...Child} children
 */
export function put(element, ...children) {
  for (const child of children) {
    if (child !== null && child !== undefined && child !== false) element.append(child);
  }
}

/**
 * @param {Element} element
 * @param {string} text
 */
export function setText(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/**
 * @param {Element} element
 * @param {string} name
 * @param {string | null} value
 */
export function setAttribute(element, name, value) {
  if (value === null) element.removeAttribute(name);
  else if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

/**
 * @param {HTMLElement} element
 * @param {boolean} isShown
 */
export function show(element, isShown) {
  if (element.hidden === isShown) element.hidden = !isShown;
}

/**
 * Keeps the children of a list in step with items: each made once, kept while its key stays, moved only where the order changed.
 * @template T
 * @template {HTMLElement} E
 * @param {Element} parent
 * @param {(item: T) => string} keyOf
 * @param {(item: T) => { element: E, update: (item: T) => void }} create
 * @returns {(items: readonly T[]) => void}
 */
export function keyed(parent, keyOf, create) {
  /** @type {Map<string, { element: E, update: (item: T) => void }>} */
  const known = new Map();
  return (items) => {
    const keys = new Set(items.map(keyOf));
    for (const [key, { element }] of known) {
      if (keys.has(key)) continue;
      element.remove();
      known.delete(key);
    }
    items.forEach((item, index) => {
      const key = keyOf(item);
      const row = known.get(key) ?? create(item);
      known.set(key, row);
      row.update(item);
      if (parent.children[index] !== row.element) parent.insertBefore(row.element, parent.children[index] ?? null);
    });
  };
}

const svgNames = 'http://www.w3.org/2000/svg';

/**
 * @template {keyof SVGElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, string | number>} [attributes]
 * @param {...(Node | string)} children
 * @returns {SVGElementTagNameMap[K]}
 */
export function draw(tag, attributes = {}, ...children) {
  const element = document.createElementNS(svgNames, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  element.append(...children);
  return element;
}

/**
 * A button, large enough for a thumb.
 * @param {string} text
 * @param {() => void} press
 * @param {string} [kind]
 */
export function button(text, press, kind = '') {
  return make('button', { type: 'button', class: `button ${kind}`.trim(), onclick: press }, text);
}

let fields = 0;

/**
 * A label with its field.
 * @param {string} text
 * @param {HTMLElement} field
 * @param {string} [note]
 */
export function labelled(text, field, note) {
  fields += 1;
  if (field.id === '') field.id = `field-${fields}`;
  return make(
    'div',
    { class: 'field' },
    make('label', { for: field.id }, text),
    field,
    note === undefined ? null : make('p', { class: 'hint' }, note),
  );
}

/**
 * An element that the page is sure to have.
 * @param {string} id
 * @returns {HTMLElement}
 */
export function byId(id) {
  const element = document.getElementById(id);
  if (element === null) throw new Error(`the page has no ${id}`);
  return element;
}
