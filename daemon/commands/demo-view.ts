import { isAnnounced } from '../../lib/alarms/life-cycle';
import { alcoholSharePercent } from '../../lib/cuts/alcohol-share';
import { referenceHPa } from '../../lib/engine/estimate';
import { nextCut } from '../../lib/engine/next';
import type { Event, Plant, Run } from '../../lib/engine/types';
import { shiftVapourTemp } from '../../lib/physics';
import { type Saying, sayName, sayReason, showTemperature } from '../../lib/words';
import type { RunSummary } from '../host/summary';
import { clock, table } from './table';

const escapeCode = String.fromCharCode(27);
const styleCode = new RegExp(`(${escapeCode}\\[\\d+m)`);

const bold = (text: string) => `\u001b[1m${text}\u001b[0m`;
const dim = (text: string) => `\u001b[2m${text}\u001b[0m`;
const reverse = (text: string) => `\u001b[7m${text}\u001b[0m`;

export interface View {
  readonly plant: Plant;
  readonly run: Run;
  readonly runId: string | null;
  readonly speed: number;
  readonly decisions: readonly string[];
  /** The daemon's own alarms that stand, in words. */
  readonly ownAlarms?: readonly string[];
}

/** The run on a terminal, as lines: what an operator wants to see at a glance, then the last decisions. */
export function drawView(view: View, saying: Saying, columns: number, rows: number): string[] {
  const { plant, run } = view;
  const lasted = run.startedAtS === null ? 0 : run.now - run.startedAtS;
  const head = `${plant.still.name} · ${plant.recipe?.name ?? 'no recipe'}${plant.variant === null ? '' : ` (${plant.variant})`}`;
  const lines = [
    `${bold(head)}   ${clock(lasted)} into the run, ${view.speed} times as fast as life`,
    '─'.repeat(Math.max(20, Math.min(columns - 1, 100))),
    `${reverse(` ${sayName(run.phase, saying)} `)}  ${run.state}   ${driveLine(plant, run)}`,
    temperatureLine(plant, run, saying),
    nextLine(plant, run, saying),
    receiverLine(plant, run),
    alarmLine(run, saying, view.ownAlarms ?? []),
    '',
    ...view.decisions.slice(-Math.max(4, rows - 11)),
  ];
  return lines.map((line) => cropped(line, columns));
}

function driveLine(plant: Plant, run: Run): string {
  const shown = Object.entries(plant.still.drives).flatMap(([id, drive]) => {
    const value = run.drives[id]?.value;
    if (typeof value !== 'number' || drive.kind === 'receiver-valve' || drive.kind === 'contactor') return [];
    return [`${id} ${value === 0 ? 'off' : drive.kind === 'coolant' ? 'on' : `${Math.round(value * 100)} %`}`];
  });
  return shown.join('   ');
}

function temperatureLine(plant: Plant, run: Run, saying: Saying): string {
  const { vapourTempC, boilerTempC, pressure } = run.estimate;
  const show = (value: number | null) => (value === null ? '–' : showTemperature(value, saying));
  const reference = referenceHPa(plant);
  const shifted =
    vapourTempC === null || pressure.medianHPa === null
      ? null
      : shiftVapourTemp(vapourTempC, pressure.medianHPa, reference);
  const air = pressure.medianHPa === null ? '–' : `${pressure.medianHPa.toFixed(1)} hPa`;
  return `vapour ${bold(show(vapourTempC))} = ${show(shifted)} at ${Math.round(reference)} hPa   boiler ${show(boilerTempC)}   air ${air}`;
}

function nextLine(plant: Plant, run: Run, saying: Saying): string {
  const next = nextCut(plant, run);
  if (next === null) return dim('no cut ahead');
  const why = next.reasons.map((reason) => sayReason(reason, saying)).join('; ');
  const hold = next.heldS > 0 ? `, held ${Math.round(next.heldS)} of ${next.holdS} s` : '';
  return `${next.asked ? reverse(' asked ') : 'next'}  ${sayName(next.to, saying)} ${sayReason(next.time.reason, saying)}: ${why}${hold}`;
}

function receiverLine(plant: Plant, run: Run): string {
  const { produced } = run.estimate;
  const share = alcoholSharePercent(plant.charge, produced.alcoholL);
  const receivers = Object.keys(plant.still.receivers).map((id) => {
    const text = `${id} ${(produced.byReceiver[id] ?? 0).toFixed(2)} L`;
    return run.receiver === id ? bold(`▸ ${text}`) : `  ${text}`;
  });
  return `${receivers.join('  ')}   ${share === null ? '' : `${share.toFixed(1)} % of the alcohol come over`}`;
}

function alarmLine(run: Run, saying: Saying, ownAlarms: readonly string[]): string {
  const standing = Object.entries(run.alarms).filter(([, memory]) => memory.active && isAnnounced(memory));
  const said = standing.map(([id, { reason }]) => `${id}: ${reason === null ? '' : sayReason(reason, saying)}`);
  const all = [...ownAlarms, ...said];
  return all.length === 0 ? dim('no alarms') : reverse(all.join(' · '));
}

/** Cuts a line at the width of the terminal, counting what is seen and closing what was begun. */
function cropped(line: string, columns: number): string {
  let seen = 0;
  let out = '';
  for (const part of line.split(styleCode)) {
    if (part.startsWith(escapeCode)) out += part;
    else {
      const room = Math.max(0, columns - 1 - seen);
      const characters = [...part];
      out += characters.length > room ? `${characters.slice(0, Math.max(0, room - 1)).join('')}…` : part;
      seen += characters.length;
      if (seen > columns - 1) break;
    }
  }
  return `${out}\u001b[0m`;
}

/** A decision on one line of plain text; null for what is of no interest to somebody watching. */
export function showDecision(event: Event, run: Run, saying: Saying): string | null {
  const at = clock(Math.max(0, event.atS - (run.startedAtS ?? event.atS)));
  const why = sayReason(event.reason, saying);
  switch (event.kind) {
    case 'phase':
      return `${at}  ${sayName(event.from, saying)} → ${sayName(event.to, saying)}   ${why}`;
    case 'receiver':
      return `${at}  receiver        ${why}`;
    case 'cut-asked':
      return `${at}  asked           ${sayName(event.from, saying)} → ${sayName(event.to, saying)}: ${why}`;
    case 'alarm': {
      const memory = run.alarms[event.alarm];
      if (memory !== undefined && !isAnnounced(memory)) return null;
      return `${at}  alarm ${event.transition}   ${event.alarm}: ${why}`;
    }
    case 'quality':
    case 'order':
      return null;
    default:
      return `${at}  ${event.kind.padEnd(15)} ${why}`;
  }
}

/** The fractions at the end, as a table. */
export function showSummary(summary: RunSummary): string {
  const number = (value: number | null, places: number) => (value === null ? '–' : value.toFixed(places));
  const rows = summary.fractions
    .filter((fraction) => fraction.volumeL > 0)
    .map((fraction) => [
      fraction.fraction,
      number(fraction.volumeL, 2),
      number(fraction.strengthAbv === null ? null : fraction.strengthAbv * 100, 1),
      number(fraction.alcoholL, 2),
      number(fraction.sharePercent, 1),
    ]);
  rows.push(['together', number(summary.totalL, 2), '', number(summary.totalAlcoholL, 2), '']);
  return table(['fraction', 'volume L', '% vol', 'pure alcohol L', '% of charge'], rows);
}
