import { leaveOut } from '../alarms/life-cycle';
import { createController } from '../engine/controller';
import { freshRun } from '../engine/fresh';
import { compilePlant } from '../engine/plant';
import { staleAfterS } from '../engine/reading';
import type { Charge, Event, Order, OrderKind, Plant, Run } from '../engine/types';
import { type Checked, problem } from '../problems';
import type { Recipe } from '../recipe/schema';
import { type PointKind, type Still, stillSchema } from '../still/schema';
import { kindOfHeader, type Log } from './log';

export interface ReplayAsk {
  readonly recipe: Recipe;
  readonly variant: string | null;
  readonly still: Still | null;
  readonly charge: Charge | null;
  readonly log: Log;
  /** Where the log has no air pressure: this, constant. */
  readonly pressureHPa: number | null;
  /** Or the standard atmosphere of this altitude. */
  readonly altitudeM: number | null;
}

export interface Replayed {
  readonly plant: Plant;
  readonly events: readonly Event[];
  readonly run: Run;
}

/** One row of the result: a phase change with the figures it rests on. */
export type PhaseChange = Extract<Event, { kind: 'phase' }>;

/**
 * Runs the engine over a recorded log: the first row starts the run, a scan at every row and at every whole second
 * between, cuts that are asked are accepted and marked (`asked`), a held run is resumed as soon as it may be.
 */
export function replayLog(ask: ReplayAsk): Checked<Replayed> {
  const still = stillForLog(ask);
  if (still.kind === 'bad') return still;
  const compiled = compilePlant(still.value.still, ask.recipe, ask.variant, ask.charge);
  if (compiled.kind === 'bad') return compiled;
  const played = play(compiled.value, still.value.points, ask);
  return { kind: 'ok', value: played, warnings: [...still.warnings, ...compiled.warnings] };
}

/** What holds the heat in the log against what a replay would have told it: the log's heat obeyed somebody else. */
const commandedOnly = ['heat-not-stopping', 'heat-not-coming', 'heat-mismatch'];

function play(plant: Plant, points: readonly string[], ask: ReplayAsk): Replayed {
  const { rows } = ask.log;
  leaveOut(plant, commandedOnly);
  const startS = rows[0]!.timeS;
  const controller = createController(plant, freshRun(startS));
  const pressurePoint = ask.pressureHPa === null ? null : 'air-pressure';
  const events: Event[] = [];
  let orders = 0;
  const say = (kind: OrderKind, target?: string): void => {
    orders += 1;
    const order: Order = {
      id: `replay-${orders}`,
      kind,
      by: 'replay',
      from: 'still',
      ...(target === undefined ? {} : { target }),
    };
    controller.order(order);
  };
  const scanAt = (now: number): void => {
    if (pressurePoint !== null) controller.put({ point: pressurePoint, value: ask.pressureHPa, atS: now });
    const result = controller.scan(now);
    events.push(...result.events);
    for (const event of result.events) {
      if (event.kind === 'cut-asked' || (event.kind === 'surge' && event.state === 'asked')) say('cut');
      if (event.kind === 'spout-asked') say('spout-moved', event.to);
    }
    // A refused resume is tried again at the next minute, so that a standing trip does not fill the events.
    if (controller.run.state === 'held' && Math.floor(now) % 60 === 0) {
      say('acknowledge');
      say('resume');
    }
  };
  say('start');
  let next = Math.floor(startS) + 1;
  for (const row of rows) {
    for (; next < row.timeS; next += 1) scanAt(next);
    for (const [index, value] of row.values.entries()) {
      if (value !== null) controller.put({ point: points[index]!, value, atS: row.timeS });
    }
    scanAt(row.timeS);
    next = Math.max(next, Math.floor(row.timeS) + 1);
  }
  return { plant, events, run: controller.run };
}

/**
 * The still as the log saw it: only the points the log has, nothing reported by drives that the log does not hold,
 * staleness at least three spacings of the log. Without a still, one with a point a column and nothing to drive.
 */
function stillForLog(ask: ReplayAsk): Checked<{ still: Still; points: readonly string[] }> {
  const { log } = ask;
  const points: Record<string, Still['points'][string]> = {};
  const names: string[] = [];
  for (const column of log.columns) {
    const id = pointFor(ask.still, column);
    if (id === null) {
      return {
        kind: 'bad',
        problems: [
          problem(column, undefined, 'is no point of this still', 'Remove the column, or add the point to the still'),
        ],
      };
    }
    const point = ask.still?.points[id] ?? { kind: kindOfHeader(column)! };
    points[id] = { ...point, staleAfterS: Math.max(staleAfterS(point), 3 * log.spacingS) };
    names.push(id);
  }
  const kinds = Object.values(points).map((point) => point.kind);
  if (
    !kinds.includes('air-pressure') &&
    ask.pressureHPa === null &&
    ask.altitudeM === null &&
    !ask.still?.assumeAltitudePressure
  ) {
    const remedy = 'Give --pressure (hPa at the still, not reduced to sea level) or --altitude (metres)';
    return { kind: 'bad', problems: [problem('airPressureHPa', undefined, 'is missing from the log', remedy)] };
  }
  if (!kinds.includes('air-pressure') && ask.pressureHPa !== null) points['air-pressure'] = { kind: 'air-pressure' };
  const base = ask.still ?? plainStill(ask.recipe);
  const drives = Object.fromEntries(
    Object.entries(base.drives).map(([id, drive]) => {
      const { reported, ...rest } = drive;
      return [id, reported !== undefined && points[reported] !== undefined ? drive : rest];
    }),
  );
  const altitude = ask.altitudeM === null ? {} : { altitudeM: ask.altitudeM, assumeAltitudePressure: true };
  return {
    kind: 'ok',
    value: { still: { ...base, points, drives, ...altitude } as Still, points: names },
    warnings: [],
  };
}

function pointFor(still: Still | null, column: string): string | null {
  const kind: PointKind | null = kindOfHeader(column);
  if (still === null) return kind;
  if (still.points[column] !== undefined) return column;
  return Object.keys(still.points).find((id) => still.points[id]?.kind === kind) ?? null;
}

function plainStill(recipe: Recipe): Still {
  return stillSchema.parse({
    still: 1,
    id: 'log',
    name: 'Still of the log',
    kind: recipe.stillKind,
    boilerVolumeL: 1000,
    heelL: 1,
    points: {},
  });
}

/** The phase changes of a replay as plain rows, as `replay --json` prints them. */
export function phaseChanges(events: readonly Event[]): PhaseChange[] {
  return events.filter((event): event is PhaseChange => event.kind === 'phase');
}
