import type { Order, OrderKind } from '../../lib';
import { allowedStates } from '../../lib/engine/orders';
import { type Beginning, type Story, StoryError, until } from './story';
import { isFail, type Judge, judgeOf } from './story-expect';
import { type StoryStill, storyStills } from './story-still';
import type { Override } from './story-world';

/** A story as it is written: where it begins, and its lines. */
export interface Script {
  readonly about: string;
  readonly still: StoryStill;
  readonly begin: Beginning;
  /** Faults that are not tried along with it, and why. */
  readonly alone: readonly string[];
  readonly lines: readonly { readonly number: number; readonly atS: number | null; readonly text: string }[];
}

const beginningNames: readonly string[] = ['idle', 'heat-up', 'heads', 'hearts', 'held', 'cool-down'];

export function parseScript(text: string, name: string): Script {
  const lines: { number: number; atS: number | null; text: string }[] = [];
  const head: Record<string, string> = {};
  let about = '';
  for (const [index, raw] of text.split('\n').entries()) {
    const line = raw.replace(/\s+#.*$/, '').trimEnd();
    if (line.startsWith('#')) about += `${line.slice(1).trim()} `;
    const header = /^([a-z]+): (.+)$/.exec(line);
    if (header !== null) head[header[1] ?? ''] = header[2] ?? '';
    if (line.trim() === '' || line.startsWith('#') || header !== null) continue;
    const timed = /^(?:(\d+):)?(\d+):(\d\d)\s+(.+)$/.exec(line.trim());
    const atS = timed === null ? null : 3600 * Number(timed[1] ?? 0) + 60 * Number(timed[2]) + Number(timed[3]);
    lines.push({ number: index + 1, atS, text: timed?.[4] ?? line.trim() });
  }
  const still = head.still ?? 'pot';
  const begin = head.begin ?? 'hearts';
  if (!(still in storyStills)) throw new StoryError(`${name}: there is no still ${still}`);
  if (!beginningNames.includes(begin)) throw new StoryError(`${name}: nothing begins at ${begin}`);
  const alone = head.alone?.split(',').map((one) => one.trim()) ?? [];
  return { about: about.trim(), still: still as StoryStill, begin: begin as Beginning, alone, lines };
}

const units: Readonly<Record<string, number>> = { s: 1, min: 60, h: 3600 };

export function secondsOf(text: string): number {
  const match = /^([\d.]+) (s|min|h)$/.exec(text.trim());
  if (match === null) throw new StoryError(`"${text}" is no time`);
  return Number(match[1]) * (units[match[2] ?? ''] ?? 1);
}

/** Plays one line of a story. */
export function play(story: Story, text: string): void {
  if (text.startsWith('expect ')) expectThat(story, text.slice(7));
  else if (text.startsWith('order ')) giveOrder(story, text.slice(6));
  else if (!(passes(story, text) || happens(story, text) || drives(story, text) || points(story, text))) {
    throw new StoryError(`"${text}" is not understood`);
  }
}

function passes(story: Story, text: string): boolean {
  const wait = /^wait (.+)$/.exec(text);
  if (wait !== null) story.pass(secondsOf(wait[1] ?? ''));
  const stands = /^(?:computer stands still for|clock leaps) (.+)$/.exec(text);
  if (stands !== null) story.freeze(secondsOf(stands[1] ?? ''));
  return wait !== null || stands !== null;
}

function happens(story: Story, text: string): boolean {
  const things: Record<string, () => void> = {
    'link lost': () => {
      story.world.linkUp = false;
    },
    'link back': () => {
      story.world.linkUp = true;
    },
    'power cut': () => {
      story.world.powerOn = false;
    },
    'power back': () => {
      story.world.powerOn = true;
      story.restart();
    },
    'computer restarts': () => story.restart(),
    'all silent': () => silence(story, true),
    'all speak': () => silence(story, false),
    'nobody answers': () => {
      story.attended = false;
    },
    'somebody answers': () => {
      story.attended = true;
    },
    'button pressed': () => {
      story.world.pressed = true;
      story.pass(1);
    },
    'operator acknowledges everything': () => {
      story.acknowledgesAll = true;
    },
  };
  const thing = things[text];
  thing?.();
  return thing !== undefined;
}

function silence(story: Story, silent: boolean): void {
  for (const point of Object.keys(story.plant.still.points)) story.override(point, silent ? { kind: 'silent' } : null);
}

function drives(story: Story, text: string): boolean {
  const match = /^drive ([a-z-]+) (sticks|moves|welds|reports ([-\d.]+))$/.exec(text);
  const drive = story.world.drives[match?.[1] ?? ''];
  if (match === null) return false;
  if (drive === undefined) throw new StoryError(`there is no drive ${match[1]}`);
  if (match[2] === 'moves') Object.assign(drive, { stuck: false, welded: false, reports: null });
  else if (match[2] === 'sticks') drive.stuck = true;
  else if (match[2] === 'welds') drive.welded = true;
  else drive.reports = Number(match[3]);
  return true;
}

const perUnit: Readonly<Record<string, number>> = { s: 1, min: 60, h: 3600 };

function points(story: Story, text: string): boolean {
  const match = /^([a-z-]+) (.+)$/.exec(text);
  const point = match?.[1] ?? '';
  const what = match?.[2] ?? '';
  if (story.plant.still.points[point] === undefined) return false;
  const override = overrideOf(story, point, what);
  if (override === undefined) return false;
  story.override(point, override);
  return true;
}

function overrideOf(story: Story, point: string, what: string): Override | null | undefined {
  const shown = story.world.shown[point] ?? 0;
  if (/^-?[\d.]+$/.test(what)) return { kind: 'value', value: Number(what) };
  if (what === 'stays') return { kind: 'stays', value: shown };
  if (what === 'sticks') return { kind: 'sticks', value: story.world.shown[point] ?? null };
  if (what === 'silent') return { kind: 'silent' };
  if (what === 'not-a-number') return { kind: 'text' };
  if (what === 'follows' || what === 'speaks') return null;
  const move = /^(rises|falls) ([\d.]+) ?[A-Za-z]*\/(s|min|h)(?: until (-?[\d.]+))?$/.exec(what);
  if (move === null) return undefined;
  const perS = (Number(move[2]) / (perUnit[move[3] ?? ''] ?? 1)) * (move[1] === 'rises' ? 1 : -1);
  const until = move[4] === undefined ? null : Number(move[4]);
  return { kind: 'moves', from: shown, perS, until, sinceS: story.now };
}

function giveOrder(story: Story, text: string): void {
  const [order = '', wanted = 'accepted'] = text.split('->').map((part) => part.trim());
  const words = order.split(' ');
  const kind = words[0] ?? '';
  if (!(kind in allowedStates)) throw new StoryError(`there is no order ${kind}`);
  const forAt = words.indexOf('for');
  const more: Partial<Order> = {
    ...(words.includes('remote') ? { from: 'remote' as const } : {}),
    ...(forAt > 0 ? { forS: secondsOf(words.slice(forAt + 1).join(' ')) } : {}),
    ...(words[1] !== undefined && words[1] !== 'remote' && words[1] !== 'for' ? { target: words[1] } : {}),
  };
  const refused = story.ask(kind as OrderKind, more);
  const answer = refused === null ? 'accepted' : refused.replace('refused.', 'refused ');
  if (answer !== wanted) throw new StoryError(`order ${order} was ${answer}, not ${wanted}`);
}

function expectThat(story: Story, text: string): void {
  const match = /^(.+?)(?: (within|for) ([\d.]+ (?:s|min|h)))?$/.exec(text);
  const judge = judgeOf(story, match?.[1] ?? '');
  const spanS = match?.[3] === undefined ? 0 : secondsOf(match[3]);
  if (match?.[2] === 'for') {
    holdsFor(story, judge, spanS);
    return;
  }
  const tookS = until(story, spanS, () => !isFail(judge()));
  if (tookS === null) throw new StoryError(`expected ${text}, but ${String(judge())}`);
}

function holdsFor(story: Story, judge: Judge, spanS: number): void {
  const from = story.now;
  for (;;) {
    const found = judge();
    if (isFail(found)) throw new StoryError(`${story.now - from} s later ${found}`);
    if (story.now - from >= spanS) return;
    story.step();
  }
}
