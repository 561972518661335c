import { sayName, sayReason } from '../../lib/words';
import { oneLine, type RunStory, sayVerified, type Wording } from '../report';
import { sayOrder } from '../report/said';
import { sayCharge } from '../report/section-head';
import { showInto, showMoment } from '../report/show';
import { showChanges } from './phase-rows';
import { alignRows } from './show-figures';
import { table } from './table';

const dash = '–';
const percent = (share: number, places = 1): string => (100 * share).toFixed(places);

/** A run whole, as text for a terminal. */
export function showStory(story: RunStory, wording: Wording): string {
  const parts = [
    headText(story, wording),
    fractionText(story, wording),
    balanceText(story),
    afterText(story),
    phaseText(story),
    alarmText(story, wording),
    orderText(story, wording),
    recordText(story, wording),
  ];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

function headText(story: RunStory, wording: Wording): string {
  const { words, saying } = wording;
  const { run } = story;
  const { recipe } = run.plant;
  const rows = [
    ['run', `${run.runId}, ${run.outcome ?? 'still open'}, lasted ${showInto(story.lastedS)}`],
    ['still', `${run.plant.still.name} (${run.still})`],
    [
      'recipe',
      recipe === null
        ? words.noRecipe
        : `${recipe.name}, revision ${recipe.revision}${run.variant === null ? '' : `, variant ${run.variant}`}, ${sayName(run.kind, saying)}`,
    ],
    ['recipe hash', run.recipeHash ?? dash],
    ['charge', sayCharge(story, wording)],
    ['started', `${showMoment(run.startedAtMs)} by ${typeof run.about.by === 'string' ? run.about.by : dash}`],
    ['ended', run.endedAtMs === null ? dash : showMoment(run.endedAtMs)],
  ];
  const said = [
    story.isPotable ? '' : `NEVER POTABLE. ${words.neverPotableWhy}`,
    story.speed === 1 ? '' : `${words.simulated}: ${story.speed} ${words.timesLife}.`,
    run.thinned ? words.thinned : '',
    run.lost ? words.lost : '',
    ...story.damage.map(({ message, remedy }) => `${words.damage}: ${message}. ${remedy}.`),
  ].filter((line) => line !== '');
  return [...said.map(oneLine), alignRows(rows.map((row) => row.map(oneLine))).trimEnd()].join('\n');
}

function fractionText(story: RunStory, { words, saying }: Wording): string {
  const { fractions, totalL, totalAlcoholL } = story.yield;
  if (fractions.length === 0) return words.nothingCameOver;
  const from = {
    hand: 'by hand',
    measured: 'metered',
    receivers: 'levels',
    flow: 'flow',
    heat: 'estimated',
    none: dash,
  };
  const rows = fractions.map(({ fraction, volumeL, strengthAbv, alcoholL, sharePercent, during }) => [
    sayName(fraction, saying),
    volumeL.value.toFixed(2),
    volumeL.uncertainty.toFixed(2),
    strengthAbv === null ? dash : percent(strengthAbv.value),
    strengthAbv === null ? dash : percent(strengthAbv.uncertainty),
    alcoholL === null ? dash : alcoholL.toFixed(2),
    sharePercent === null ? dash : sharePercent.toFixed(1),
    volumeL.from === 'hand' && during !== null
      ? `${from.hand}; during the run ${during.volumeL.toFixed(2)} L`
      : from[volumeL.from],
  ]);
  rows.push(['together', totalL.toFixed(2), '', '', '', totalAlcoholL.toFixed(2), '', '']);
  return table(['fraction', 'volume L', '±', '% vol', '±', 'pure alcohol L', '% of charge', 'from'], rows, [0, 7]);
}

function balanceText(story: RunStory): string {
  const { balance, cautions } = story.yield;
  const remarks = cautions.map(({ path, message, remedy }) => `  ${path}: ${message}. ${remedy}.`);
  if (balance === null) return ['No balance of alcohol:', ...remarks].join('\n');
  const { chargeAlcoholL, collectedAlcoholL, residueAlcoholL, unaccountedAlcoholL, uncertaintyL, verdict } = balance;
  const residue = story.yield.isResidueMeasured ? `${residueAlcoholL.toFixed(2)} L` : 'not measured';
  const rest = `${unaccountedAlcoholL.toFixed(2)} ± ${uncertaintyL.toFixed(2)} L (${verdict})`;
  return [
    `Pure alcohol: charged ${chargeAlcoholL.toFixed(2)} L, came over ${collectedAlcoholL.toFixed(2)} L, residue ${residue}, unaccounted for ${rest}`,
    ...remarks,
  ].join('\n');
}

function afterText(story: RunStory): string {
  const { feints, notes } = story.after.content;
  const kept = feints.map(
    ({ fractions, volumeL, strengthAbv, where, usedIn }, index) =>
      `feints ${index + 1}: ${fractions.join(', ')}, ${volumeL.toFixed(2)} L at ${percent(strengthAbv)} % vol${where === undefined ? '' : `, ${where}`}; ${usedIn === undefined ? 'kept for a later charge' : `charged to ${usedIn}`}`,
  );
  const noted = notes.map(({ text, by, atMs }) => `note, ${showMoment(atMs)}, ${by}: ${text}`);
  return [...kept, ...noted].map(oneLine).join('\n');
}

function phaseText(story: RunStory): string {
  const { phases } = story.told;
  if (phases.length === 0) return '';
  return showChanges(phases.map((event) => ({ ...event, atS: story.intoS(event.atS) })));
}

function alarmText(story: RunStory, { saying, words }: Wording): string {
  const { alarms } = story.told;
  if (alarms.length === 0) return words.noAlarms;
  const into = (atS: number | null): string => (atS === null ? dash : showInto(story.intoS(atS)));
  const rows = alarms.map((one) => [
    oneLine(sayName(one.alarm, saying)),
    `${one.priority}${one.announced ? '' : ', silent'}`,
    into(one.raisedAtS),
    into(one.returnedAtS),
    oneLine(one.acknowledgedAtS === null ? dash : `${into(one.acknowledgedAtS)} ${one.acknowledgedBy ?? ''}`),
    oneLine(sayReason(one.reason, saying)),
  ]);
  return table(['alarm', 'priority', 'raised', 'gone', 'acknowledged', 'why'], rows, [0, 1, 2, 3, 4, 5]);
}

function orderText(story: RunStory, { saying, words }: Wording): string {
  const listed = story.told.orders.filter(({ order }) => order.kind !== 'attend');
  if (listed.length === 0) return words.noOrders;
  const rows = listed.map(({ atS, order, accepted, reason }) => [
    showInto(story.intoS(atS)),
    oneLine(order.by),
    oneLine(sayOrder(order)),
    accepted === null
      ? words.unanswered
      : accepted
        ? words.accepted
        : oneLine(`${words.refused}: ${reason === null ? '' : sayReason(reason, saying)}`),
  ]);
  return table(['order at', 'who', 'what', 'answer'], rows, [0, 1, 2, 3]);
}

function recordText(story: RunStory, wording: Wording): string {
  const { run, verified } = story;
  const head = verified?.kind === 'whole' ? verified.head : run.head;
  return [
    `Record: ${run.scans} scans, ${run.readings} readings, ${run.decisions} decisions, ${run.links} links; ${run.replayable ? 'can be replayed' : 'can no longer be replayed'}`,
    `Chain head ${head}`,
    verified === null ? 'Not verified: --verify walks along the chain.' : sayVerified(verified, wording),
  ].join('\n');
}

/** A run whole, for JSON: figures in full with their units, reasons in words beside their data. */
export function plainStory(story: RunStory, { saying }: Wording) {
  const { run, told, after } = story;
  const { plant, runId, startedAtMs, endedAtMs, initial: _initial, summary: _summary, ...rest } = run;
  const at = (atS: number) => ({ intoS: story.intoS(atS), at: new Date(Math.round(story.wallMs(atS))).toISOString() });
  return {
    run: runId,
    ...rest,
    startedAt: new Date(startedAtMs).toISOString(),
    endedAt: endedAtMs === null ? null : new Date(endedAtMs).toISOString(),
    lastedS: story.lastedS,
    speed: story.speed,
    potable: story.isPotable,
    referenceHPa: story.referenceHPa,
    recipeDocument: plant.recipe,
    stillDocument: plant.still,
    ...story.yield,
    afterRun: { revision: after.revision, ...after.content },
    phases: told.phases.map(({ atS, from, to, asked, figures, reason }) => ({
      ...at(atS),
      from,
      to,
      asked,
      ...figures,
      why: sayReason(reason, saying),
      reason,
    })),
    jars: told.jars.map(({ atS, number, figures, volumeL }) => ({ ...at(atS), number, volumeL, ...figures })),
    alarms: told.alarms.map((one) => ({ ...one, ...at(one.raisedAtS), why: sayReason(one.reason, saying) })),
    orders: told.orders.map(({ atS, order, accepted, reason }) => ({
      ...at(atS),
      ...order,
      accepted,
      why: reason === null ? null : sayReason(reason, saying),
    })),
    marks: told.marks,
    verified: story.verified,
    damage: story.damage,
  };
}
