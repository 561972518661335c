import { type Saying, sayName } from '../../lib/words';
import { html, type Insert, type Markup } from './html';
import { facts, foreign, paragraph } from './parts';
import { nothing, showInto, showMoment, showNumber, showPercent, showPressure, showVolume } from './show';
import type { RunStory } from './story';
import type { Wording } from './words';
import type { FractionTold } from './yield';

/** What the run was: title, what has to be said before anything else, and the facts. */
export function sectionHead(story: RunStory, wording: Wording): Insert {
  const { words } = wording;
  const { plant, variant } = story.run;
  const name = plant.recipe?.name ?? words.noRecipe;
  return html`<header>${paragraph(html`${words.runRecord} ${foreign(story.run.runId)}`, 'kicker')}
<h1>${foreign(name)}${variant !== null && html` <small>(${foreign(variant)})</small>`}</h1>
${plant.recipe?.about !== undefined && paragraph(foreign(plant.recipe.about), 'note')}</header>
${stamps(story, wording)}${runFacts(story, wording)}`;
}

function stamps(story: RunStory, { words, saying }: Wording): Insert {
  const warn = (text: Insert) => html`<p class="warn" role="note">${text}</p>
`;
  const { run, isPotable, speed, damage } = story;
  return [
    !isPotable &&
      html`<div class="stamp" role="note"><strong>${words.neverPotable}</strong>${words.neverPotableWhy}</div>
`,
    speed !== 1 &&
      warn(`${words.simulated}: ${showNumber(speed, speed % 1 === 0 ? 0 : 1, saying)} ${words.timesLife}.`),
    run.outcome === null && warn(words.openRun),
    run.thinned && warn(words.thinned),
    run.lost && warn(words.lost),
    ...damage.map(({ message, remedy }) => warn(`${words.damage}: ${message}. ${remedy}.`)),
  ];
}

function runFacts(story: RunStory, wording: Wording): Markup {
  const { words, saying } = wording;
  const { run, lastedS } = story;
  const { plant } = run;
  const hearts = story.yield.fractions.find(({ fraction }) => fraction === 'hearts');
  return facts([
    [
      words.still,
      html`${foreign(plant.still.name)} <span class="note">${sayName(plant.still.kind, saying)}, ${run.still}</span>`,
    ],
    plant.recipe === null
      ? null
      : [words.recipe, html`${foreign(plant.recipe.name)}, ${words.revision} ${plant.recipe.revision}`],
    [words.variant, run.variant === null ? nothing : foreign(run.variant)],
    [words.kindOfRun, sayName(run.kind, saying)],
    [words.charge, foreign(sayCharge(story, wording))],
    hearts === undefined ? null : [sayName('hearts', saying), sayHearts(hearts, saying)],
    [words.started, showMoment(run.startedAtMs)],
    [words.ended, run.endedAtMs === null ? nothing : showMoment(run.endedAtMs)],
    [words.lasted, showInto(lastedS)],
    [words.outcome, run.outcome === null ? words.isOpen : sayName(run.outcome, saying)],
    [words.operator, sayPeople(story, wording)],
    [words.airPressure, sayAir(story, wording)],
    [words.reference, showPressure(story.referenceHPa, saying, 2)],
    plant.recipe?.developedFrom === undefined ? null : [words.developedFrom, sayOrigin(story, wording)],
    run.recipeHash === null ? null : [words.hash, html`<span class="hash">${run.recipeHash}</span>`],
  ]);
}

export function sayCharge(story: RunStory, { words, saying }: Wording): string {
  const { charge } = story.yield;
  if (charge === null) return words.chargeNotStated;
  const { volumeL, strengthAbv, alcoholL, from } = charge;
  const byHand = from === 'hand' ? ` (${words.correctedByHand})` : '';
  return `${showVolume(volumeL, saying)} L, ${showPercent(strengthAbv, saying)} % vol = ${showVolume(alcoholL, saying)} L ${words.pureAlcohol}${byHand}`;
}

/** Who started the run, and who else gave orders in it. */
function sayPeople(story: RunStory, { words }: Wording): Insert {
  const { orders } = story.told;
  const starter =
    orders.find(({ order, accepted }) => order.kind === 'start' && accepted === true)?.order.by ?? story.run.about.by;
  const first = typeof starter === 'string' ? starter : nothing;
  const others = [...new Set(orders.map(({ order }) => order.by))].filter((by) => by !== first);
  if (others.length === 0) return foreign(first);
  return html`${foreign(first)}; ${words.orderedToo}: ${foreign(others.slice(0, 12).join(', '))}`;
}

function sayAir(story: RunStory, { saying }: Wording): string {
  const values = story.minutes.flatMap(({ airPressureHPa }) => airPressureHPa ?? []);
  if (values.length === 0) return nothing;
  const least = values.reduce((one, other) => Math.min(one, other));
  const most = values.reduce((one, other) => Math.max(one, other));
  return `${showNumber(least, 1, saying)} – ${showNumber(most, 1, saying)} hPa`;
}

function sayOrigin(story: RunStory, { saying }: Wording): Insert {
  const { run, still, date, charge, chargeL, chargeVolPercent, airPressureHPa, heaterW } =
    story.run.plant.recipe?.developedFrom ?? {};
  const amounts = [
    chargeL === undefined ? '' : `${showVolume(chargeL, saying)} L`,
    chargeVolPercent === undefined ? '' : `${showNumber(chargeVolPercent, 1, saying)} % vol`,
    airPressureHPa === undefined ? '' : `${showNumber(airPressureHPa, 0, saying)} hPa`,
    heaterW === undefined ? '' : `${showNumber(heaterW, 0, saying)} W`,
  ];
  const parts = [run, still, date, charge, ...amounts];
  return foreign(parts.filter((part) => part !== undefined && part !== '').join(', '));
}

function sayHearts({ volumeL, strengthAbv }: FractionTold, saying: Saying): string {
  const strength = strengthAbv === null ? '' : `, ${showPercent(strengthAbv.value, saying)} % vol`;
  return `${showVolume(volumeL.value, saying)} L${strength}`;
}
