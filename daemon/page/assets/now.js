import { keyed, make, put, setText, show } from './dom.js';
import { duration, hectopascals, kelvin, percent, temp, tempNumber, tempUnit, unknown } from './figures.js';
import { say } from './words.js';

/** @typedef {import('../views').StillView} StillView */
/** @typedef {import('../views').TempView} TempView */

/** Reference pressures are round figures or 1013.25. @param {number} pressureHPa */
export const reference = (pressureHPa) => `${Math.round(pressureHPa)} hPa`;

/** Below this it is the air at the probe and no vapour, which would be the same at no other pressure [°C]. */
const leastVapourC = 60;

/** Where the run is and what the probes show, readable from two metres. */
export function createNow() {
  const phase = make('p', { class: 'phase' });
  const held = make('p', { class: 'held' });
  const about = make('p', { class: 'hint' });
  const product = make('p', { class: 'wrong' });
  const vapour = bigFigure(say('now.vapour'));
  const atReference = bigFigure('');
  const lost = make('p', { class: 'wrong' });
  const element = make('section', { class: 'sheet now' }, phase, held, about, product);
  put(element, make('div', { class: 'temps' }, vapour.element, atReference.element), lost);
  return {
    element,
    /** @param {StillView} view */
    update(view) {
      setText(phase, view.phaseSaid);
      element.dataset.phase = view.phase;
      const isHeld = view.state === 'held';
      const stateSaid = isHeld ? say('now.held') : view.comingBack ? say('now.back') : '';
      setText(held, stateSaid === '' || view.reason === '' || !isHeld ? stateSaid : `${stateSaid}: ${view.reason}`);
      show(held, stateSaid !== '');
      setText(about, aboutRun(view));
      const isUnfit = view.run !== null && !view.run.potable;
      setText(product, isUnfit && view.run !== null ? say('never-potable', { kind: view.run.recipe }) : '');
      show(product, isUnfit);
      vapour.set(tempNumber(view.vapour.tempC), pace(view.vapour));
      atReference.label(say('now.reference', { pressure: reference(view.referenceHPa) }));
      atReference.set(tempNumber(view.vapour.atReferenceC), '');
      show(atReference.element, view.vapour.tempC === null || view.vapour.tempC >= leastVapourC);
      setText(lost, lostText(view.vapour));
      show(lost, lost.textContent !== '');
    },
  };
}

/** What else one wants to know of the still at a glance. */
export function createFigures() {
  const list = make('dl', { class: 'figures' });
  const set = keyed(list, (/** @type {SmallFigure} */ one) => one.key, smallFigure);
  return {
    element: make('section', { class: 'sheet' }, list),
    /** @param {StillView} view */
    update: (view) => set(smallOnes(view)),
  };
}

/** @param {StillView} view */
function aboutRun(view) {
  const speed = view.speed === 1 ? '' : say('simulated', { speed: view.speed });
  if (view.run === null || view.run.intoS === null) return [say('now.idle'), speed].filter(Boolean).join(' · ');
  const recipe = view.run.variant === null ? view.run.recipe : `${view.run.recipe} (${view.run.variant})`;
  return [
    recipe,
    view.stateSaid,
    say('now.into', { into: duration(view.run.intoS) }),
    say('now.phase-for', { for: duration(view.run.inPhaseS) }),
    speed,
  ]
    .filter(Boolean)
    .join(' · ');
}

/** @param {string} text */
function bigFigure(text) {
  const label = make('span', { class: 'figure-label' }, text);
  const number = make('span', { class: 'figure' });
  const unit = make('span', { class: 'unit' });
  const note = make('span', { class: 'figure-note' });
  const element = make('p', { class: 'big' }, label, make('span', { class: 'figure-line' }, number, unit), note);
  return {
    element,
    /** @param {string} changed */
    label: (changed) => setText(label, changed),
    /** @param {string} value @param {string} noted */
    set(value, noted) {
      setText(number, value);
      setText(unit, value === unknown ? '' : tempUnit());
      setText(note, noted);
    },
  };
}

/** @param {TempView} view */
function pace({ slopeKPerMin }) {
  if (slopeKPerMin === null) return '';
  const size = Math.abs(slopeKPerMin);
  const sign = size < 0.005 ? '±' : slopeKPerMin < 0 ? '−' : '+';
  const change =
    size < 1
      ? `${sign}${(size * (tempUnit() === '°F' ? 1.8 : 1)).toFixed(2)} ${tempUnit() === '°F' ? '°F' : 'K'}`
      : `${sign}${kelvin(size)}`;
  return say('now.pace', { change });
}

/** @param {TempView} view */
function lostText({ tempC, quality, fault, lastC, lastAgoS }) {
  if (tempC !== null || quality === 'none') return '';
  if (lastC === null || lastAgoS === null) return `✕ ${say('now.vapour')}: ${say('now.never')}`;
  const parts = { why: fault ?? quality, last: temp(lastC), ago: duration(lastAgoS) };
  return `✕ ${say('now.vapour')} ${say('now.lost', parts)}`;
}

/** @typedef {{ key: string, label: string, value: string, note: string }} SmallFigure */

/** @param {StillView} view @returns {SmallFigure[]} */
function smallOnes(view) {
  const boilerNote =
    view.boiler.quality === 'none'
      ? say('now.no-probe')
      : view.boiler.tempC === null
        ? (view.boiler.fault ?? say('now.never'))
        : '';
  const fromBarometer = view.airPressureHPa === null ? '' : view.airPressureFrom;
  const figures = [
    { key: 'boiler', label: say('now.boiler'), value: temp(view.boiler.tempC), note: boilerNote },
    { key: 'air', label: say('now.air'), value: hectopascals(view.airPressureHPa), note: fromBarometer },
  ];
  // While the heat is off the vapour falls, and what it says of the strength is not what runs.
  if (view.strengthVolPercent !== null && view.state === 'running') {
    figures.push({
      key: 'strength',
      label: say('now.strength'),
      value: percent(view.strengthVolPercent, '% vol'),
      note: say(view.strengthBy === 'parrot' ? 'now.by-parrot' : 'now.by-vapour'),
    });
    figures.push({ key: 'rate', label: say('now.rate'), value: `${view.produced.rateLPerH.toFixed(1)} L/h`, note: '' });
  }
  return figures;
}

function smallFigure() {
  const label = make('dt', {});
  const value = make('dd', { class: 'figure' });
  const note = make('dd', { class: 'hint' });
  return {
    element: make('div', {}, label, value, note),
    /** @param {SmallFigure} one */
    update(one) {
      setText(label, one.label);
      setText(value, one.value);
      setText(note, one.note);
    },
  };
}
