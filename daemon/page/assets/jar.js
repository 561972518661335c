import { make, put, setText, show } from './dom.js';
import { partOf } from './drafts.js';
import { litres, percent, temp, tempUnit } from './figures.js';
import { reference } from './now.js';
import { intensityField, numberField, saveState, textField, verdictField, wordsField } from './sheet-fields.js';
import { say } from './words.js';

/** @typedef {import('../record-views').SheetView} SheetView */
/** @typedef {import('../record-views').JarView} JarView */
/** @typedef {import('./sheet-fields.js').Field} Field */

/**
 * One jar: what the run showed, what was measured, what was tasted. Folded until it is wanted.
 * @param {SheetView} sheet
 * @param {JarView} jar
 * @param {{ taster: () => string, glass: number | null }} options
 */
export function createJar(sheet, { number }, { taster, glass }) {
  const title = make(
    'span',
    { class: 'jar-title' },
    glass === null ? say('jar.title', { number }) : say('sheet.glass', { number: glass }),
  );
  const facts = make('span', { class: 'jar-facts' });
  const verdict = make('span', { class: 'jar-verdict' });
  const summary = make('summary', {}, title, verdict, facts);
  const others = make('ul', { class: 'others' });
  const element = make('details', { class: 'sheet jar' }, summary);
  const measured = glass === null ? measuredFields(sheet, number) : [];
  const tastingBox = make('div', {});
  /** @type {{ name: string, fields: Field[] }} */
  let tasting = { name: '', fields: [] };
  const othersBox = make('div', { class: 'field' }, make('p', { class: 'strong' }, say('jar.others')), others);
  put(element, ...measured.map((field) => field.element), tastingBox, glass === null ? othersBox : null);

  const setTaster = () => {
    const name = taster();
    if (name === tasting.name && tastingBox.childElementCount > 0) return;
    tasting = { name, fields: name === '' ? [] : tastingFields(sheet, number, name) };
    const head = make('h3', {}, say('jar.yours'), name === '' ? '' : ` (${name})`);
    tastingBox.replaceChildren(
      head,
      ...(name === ''
        ? [make('p', { class: 'hint' }, say('sheet.no-taster'))]
        : tasting.fields.map((field) => field.element)),
    );
  };

  return {
    element,
    /** @param {JarView} now */
    update(now) {
      setTaster();
      partOf({ sheet: sheet.id, path: 'jar', extra: { jar: number } }).sync(now.measured);
      if (tasting.name !== '') {
        const mine = now.tastings.find(({ content }) => sameName(content.taster, tasting.name));
        if (mine !== undefined) partOf(tastingPlace(sheet.id, number, tasting.name)).sync(mine);
      }
      for (const field of [...measured, ...tasting.fields]) field.update();
      setText(facts, glass === null ? factsOf(now, sheet.about.content.referenceHPa) : '');
      setText(verdict, glass === null ? verdictOf(now) : ownVerdict(sheet.id, number, tasting.name));
      const told = now.tastings.filter(({ content }) => !sameName(content.taster, tasting.name));
      others.replaceChildren(...told.map(({ content }) => make('li', {}, tastingText(content))));
      show(othersBox, told.length > 0);
    },
    /** Typing changes only what the fields say of themselves. */
    refresh() {
      for (const field of [...measured, ...tasting.fields]) field.update();
      if (glass !== null) setText(verdict, ownVerdict(sheet.id, number, tasting.name));
    },
  };
}

/** @param {string} a @param {string} b */
const sameName = (a, b) => a.trim().toLowerCase() === b.trim().toLowerCase();

/** @param {string} sheet @param {number} jar @param {string} taster */
const tastingPlace = (sheet, jar, taster) => /** @type {const} */ ({ sheet, path: 'tasting', extra: { jar, taster } });

/** @param {SheetView} sheet @param {number} jar @returns {Field[]} */
function measuredFields(sheet, jar) {
  const part = partOf({ sheet: sheet.id, path: 'jar', extra: { jar } });
  const byHand = sheet.byHand
    ? [
        numberField(part, 'vapourTempC', say('jar.vapour', { unit: tempUnit() }), { isTemp: true }),
        numberField(part, 'airPressureHPa', say('jar.pressure')),
      ]
    : [];
  const numbers = [
    ...byHand,
    numberField(part, 'volumeL', say('jar.volume')),
    numberField(part, 'strengthVolPercent', say('jar.strength')),
    numberField(part, 'sampleTempC', say('jar.temp', { unit: tempUnit() }), { isTemp: true }),
  ];
  const group = {
    element: make(
      'div',
      {},
      make('h3', {}, say('jar.measured')),
      make('div', { class: 'pair' }, ...numbers.map((field) => field.element)),
    ),
    update: () => {
      for (const field of numbers) field.update();
    },
  };
  return [
    group,
    textField(part, 'note', say('jar.note'), { longest: 1000 }),
    verdictField(part, say('jar.decision')),
    saveState(part),
  ];
}

/** @param {SheetView} sheet @param {number} jar @param {string} taster @returns {Field[]} */
function tastingFields(sheet, jar, taster) {
  const part = partOf(tastingPlace(sheet.id, jar, taster));
  return [
    textField(part, 'nose', say('jar.nose')),
    textField(part, 'front', say('jar.front')),
    textField(part, 'middle', say('jar.middle')),
    textField(part, 'back', say('jar.back')),
    wordsField(part, sheet.words),
    intensityField(part),
    verdictField(part, say('jar.verdict')),
    saveState(part),
  ];
}

/** @param {JarView} jar @param {number} referenceHPa */
function factsOf({ start, end, countedL, measured }, referenceHPa) {
  const { volumeL, strengthVolPercent } = measured.content;
  const isKnown = start?.vapourAtReferenceC != null || end?.vapourAtReferenceC != null;
  const shifted = span(start?.vapourAtReferenceC, end, end?.vapourAtReferenceC);
  return [
    span(start?.vapourTempC, end, end?.vapourTempC),
    isKnown ? `${shifted} ${say('jar.at', { pressure: reference(referenceHPa) })}` : '',
    volumeL !== undefined ? litres(volumeL) : countedL === null ? '' : say('jar.counted', { volume: litres(countedL) }),
    strengthVolPercent === undefined ? '' : percent(strengthVolPercent, '% vol'),
  ]
    .filter(Boolean)
    .join(' · ');
}

/**
 * Jars lie tenths of a kelvin apart: two places.
 * @param {number | null | undefined} fromC
 * @param {unknown} end null while the jar is filling
 * @param {number | null | undefined} toC
 */
function span(fromC, end, toC) {
  if (end === null) return say('jar.from', { from: temp(fromC, 2) });
  return say('jar.from-to', { from: temp(fromC, 2), to: temp(toC, 2) });
}

/** @param {JarView} jar */
function verdictOf({ consensus }) {
  if (consensus === null || consensus.decidedBy === 'nobody') return say('verdict.none');
  const verdict = say(`verdict.${consensus.verdict}`);
  if (consensus.decidedBy === 'decision') return say('jar.decided', { verdict });
  const split = consensus.agreement !== null && consensus.agreement < 1 ? `, ${say('jar.split')}` : '';
  return `${say('jar.consensus', { verdict })}${split}`;
}

/** @param {string} sheet @param {number} jar @param {string} taster */
function ownVerdict(sheet, jar, taster) {
  const verdict = taster === '' ? undefined : partOf(tastingPlace(sheet, jar, taster)).value('verdict');
  return say(typeof verdict === 'string' ? `verdict.${verdict}` : 'verdict.none');
}

/** @param {import('../record-views').TastingView} tasting */
function tastingText({ taster, nose, front, middle, back, descriptors, intensity, verdict }) {
  const notes = [nose, front, middle, back, descriptors?.join(', ')].filter(Boolean).join('; ');
  const strength = intensity === undefined ? '' : ` (${intensity}/5)`;
  return `${taster}: ${verdict === undefined ? say('verdict.none') : say(`verdict.${verdict}`)}${notes === '' ? '' : `. ${notes}`}${strength}`;
}
