import type { FaultPlan } from '../../simulators/faults';
import { createRandom, nextBetween, nextIndex, nextUnit, type Random } from '../../simulators/model';
import type { Act, Case, Draw } from './case';
import { cases, companions } from './catalogue';
import { type Course, courseOf, coursesPerStill, type Moment } from './moments';
import type { StillType } from './stills';

/** Mutable, so that a trouble can be ended once nothing more can come of it. */
export type LivePlan = { -readonly [Key in keyof FaultPlan]: FaultPlan[Key] };

/** Everything that a seed decides, before anything is run. */
export interface Trial {
  readonly one: Case;
  readonly seed: number;
  readonly type: StillType;
  readonly course: Course;
  readonly moment: Moment;
  readonly fromS: number;
  readonly untilS: number;
  readonly plans: readonly LivePlan[];
  readonly acts: readonly Act[];
  /** What came along, by name. */
  readonly along: readonly string[];
  /** A second trouble at the same time: then only the rules of safety count, and that the run can be ended. */
  readonly second: Case | null;
  /** Acknowledges everything at once and orders the resume while the trouble lasts. */
  readonly isCareless: boolean;
  /** How long it is left as it is once it was detected and the still is safe [s]. */
  readonly lingerS: number;
  /** Later than this its readings may come, for what came along [s]. */
  readonly delayS: number;
}

/** The case of a seed: every case in turn, so that a thousand seeds try each about as often. */
export function caseOfSeed(seed: number): Case {
  return cases[seed % cases.length]!;
}

export function caseNamed(name: string): Case {
  const found = cases.find((one) => one.name === name);
  if (found === undefined) throw new Error(`No case “${name}”. Cases: ${cases.map((one) => one.name).join(', ')}`);
  return found;
}

interface Begin {
  readonly type: StillType;
  readonly course: Course;
  readonly moment: Moment;
}

/** A still of the case, one of its courses, and a moment of a phase in which the case can happen. */
function drawBegin(one: Case, random: Random): Begin {
  const first = nextIndex(random, one.stills.length);
  const index = nextIndex(random, coursesPerStill);
  const pick = nextUnit(random);
  for (let step = 0; step < one.stills.length; step++) {
    const type = one.stills[(first + step) % one.stills.length]!;
    const course = courseOf(type, index);
    const fitting = course.moments.filter(({ phase }) => one.phases.includes(phase));
    const moment = fitting[Math.floor(pick * fitting.length)];
    if (moment !== undefined) return { type, course, moment };
  }
  throw new Error(`No still of the campaign comes to where “${one.name}” can happen`);
}

function plansOf(one: Case, draw: Draw): LivePlan[] {
  return one.faults(draw).map((plan) => ({ ...plan }));
}

/**
 * What a seed does: still, moment, trouble and what comes along. Each part draws from a stream of its own, so that a
 * change of one shifts no other.
 */
export function drawTrial(one: Case, seed: number): Trial {
  const name = (part: string) => createRandom(seed, `campaign/${one.name}/${part}`);
  const begin = drawBegin(one, name('begin'));
  const timing = name('timing');
  const fromS = begin.moment.atS + 30 + nextIndex(timing, 60);
  const untilS = fromS + one.lastsS;
  const lingerS = nextBetween(timing, 20, 240);
  const plant = begin.course.plant;
  const drawn = { type: begin.type, plant, untilS };
  const plans = plansOf(one, { ...drawn, fromS, random: name('trouble') });
  const acts = [...(one.acts?.({ ...drawn, fromS, random: name('acts') }) ?? [])];
  const manners = name('manners');
  const isCareless = nextUnit(manners) < 0.25;
  const second = drawSecond(one, begin, name('second'));
  if (second !== null) {
    const more = { ...drawn, fromS: fromS + 5 + nextIndex(manners, 60), random: name('second trouble') };
    plans.push(...plansOf(second, more));
    acts.push(...(second.acts?.(more) ?? []));
  }
  const company = drawCompany(one, drawn, fromS, name);
  // A probe that is stuck and wild at once would be neither.
  const befallen = new Set(plans.flatMap(({ target }) => target?.split('+') ?? []));
  plans.push(...company.plans.filter(({ target }) => target === undefined || !befallen.has(target)));
  const { along, delayS } = company;
  return { one, seed, ...begin, fromS, untilS, plans, acts, along, second, isCareless, lingerS, delayS };
}

/** One run in eight has two troubles at once. */
function drawSecond(one: Case, { type, moment }: Begin, random: Random): Case | null {
  if (nextUnit(random) >= 0.125) return null;
  const fitting = cases.filter(
    (other) => other.name !== one.name && other.stills.includes(type) && other.phases.includes(moment.phase),
  );
  return fitting[nextIndex(random, fitting.length)] ?? null;
}

/** Nothing, one or two of the small troubles that come along with others. */
function drawCompany(
  one: Case,
  drawn: Omit<Draw, 'random' | 'fromS'>,
  fromS: number,
  name: (part: string) => Random,
): { readonly along: readonly string[]; readonly plans: readonly LivePlan[]; readonly delayS: number } {
  const random = name('company');
  const share = nextUnit(random);
  const count = share < 0.5 ? 0 : share < 0.85 ? 1 : 2;
  const along: string[] = [];
  const plans: LivePlan[] = [];
  let delayS = 0;
  for (let index = 0; index < count; index++) {
    const companion = companions[nextIndex(random, companions.length)]!;
    if (companion === one.name || along.includes(companion)) continue;
    along.push(companion);
    const more = plansOf(caseNamed(companion), { ...drawn, fromS: fromS - 10, random: name(`along/${companion}`) });
    plans.push(...more);
    for (const { fault, size = 0, fromS: from, untilS } of more) {
      if (fault === 'late' || fault === 'reordered') delayS += size;
      if (fault === 'link-lost') delayS += untilS - from;
    }
  }
  return { along, plans, delayS };
}
