import {
  alarmNormal,
  alarmState,
  type Controller,
  createController,
  type Event,
  freshRun,
  type Order,
  type OrderKind,
  type Plant,
  type Run,
  rebuilt,
} from '../../lib';
import { brokenRules } from './safety-invariants';
import { type StoryStill, storyPlant } from './story-still';
import { advanceWorld, createWorld, type Override, readWorld, type StoryWorld, takeCommands } from './story-world';

export type Beginning = 'idle' | 'heat-up' | 'heads' | 'hearts' | 'held' | 'cool-down';

/** Anything a story says that cannot be understood, or that does not come true. */
export class StoryError extends Error {}

/** A story under way: a still, an engine, and what happened. */
export class Story {
  readonly plant: Plant;
  world: StoryWorld;
  controller: Controller;
  readonly events: Event[] = [];
  readonly broken: string[] = [];
  /** Somebody answers at the still every ten minutes. */
  attended = true;
  acknowledgesAll = false;
  private orders = 0;
  private answers: Extract<Event, { kind: 'order' }>[] = [];
  private frozenUntilS = 0;

  constructor(still: StoryStill, beginning: Beginning) {
    const start = beginningOf(still, beginning);
    this.plant = start.plant;
    this.world = structuredClone(start.world);
    this.controller = createController(start.plant, JSON.parse(start.run) as Run);
  }

  get run(): Run {
    return this.controller.run;
  }
  get now(): number {
    return this.world.atS;
  }

  /** One second: the still moves, readings arrive, the engine scans, the drives are told. */
  step(): void {
    advanceWorld(this.world, this.plant);
    const readings = readWorld(this.world, this.plant);
    if (!this.world.powerOn || this.now < this.frozenUntilS) return;
    for (const reading of readings) this.controller.put(reading);
    if (this.attended && this.now % 600 === 0) this.give('attend');
    if (this.acknowledgesAll) this.acknowledgeAll();
    const before = this.run;
    const result = this.controller.scan(this.now);
    this.events.push(...result.events);
    this.answers.push(...result.events.filter((event) => event.kind === 'order'));
    for (const rule of brokenRules({ plant: this.plant, before, ...result })) {
      this.broken.push(`${this.now} s: ${rule}`);
    }
    takeCommands(this.world, this.plant, result.commands);
  }

  pass(seconds: number): void {
    for (let i = 0; i < seconds; i += 1) this.step();
  }

  give(kind: OrderKind, more: Partial<Order> = {}): string {
    this.orders += 1;
    const id = `o${this.orders}-${this.now}`;
    this.controller.order({ id, kind, by: 'Ada', from: 'still', ...more });
    return id;
  }

  /** An order and its answer: the code of the refusal, or null when it was obeyed. */
  ask(kind: OrderKind, more: Partial<Order> = {}): string | null {
    const id = this.give(kind, more);
    this.step();
    const answer = this.answers.find((event) => event.order.id === id);
    if (answer === undefined) throw new StoryError(`order ${kind} was not answered`);
    return answer.accepted ? null : answer.reason.code;
  }

  freeze(seconds: number): void {
    this.frozenUntilS = this.now + seconds;
    this.pass(seconds);
  }

  /** The process dies and comes back from what is written. */
  restart(): void {
    const written = JSON.parse(JSON.stringify(this.run)) as Run;
    this.controller = createController(this.plant, rebuilt(this.plant, { ...written, now: this.now }));
  }

  alarm(id: string): { readonly state: string; readonly active: boolean } {
    const memory = this.run.alarms[id] ?? alarmNormal;
    return { state: alarmState(memory), active: memory.active };
  }

  /** Alarms whose name is this, or begins with it: `probe-lost` is any probe. */
  alarmsNamed(name: string): string[] {
    return Object.keys(this.run.alarms).filter((id) => id === name || id.startsWith(`${name}:`));
  }

  override(point: string, override: Override | null): void {
    if (this.plant.still.points[point] === undefined) throw new StoryError(`there is no point ${point}`);
    if (override === null) delete this.world.overrides[point];
    else this.world.overrides[point] = override;
  }

  private acknowledgeAll(): void {
    if (Object.values(this.run.alarms).some((memory) => memory.standing && !memory.acknowledged)) {
      this.give('acknowledge', { target: 'all' });
    }
    if (this.run.state === 'held' && this.now % 20 === 0) this.give('resume');
  }
}

interface Start {
  readonly plant: Plant;
  readonly world: StoryWorld;
  /** As text, so that no story can touch another's. */
  readonly run: string;
}

const beginnings = new Map<string, Start>();

/** Brings a still to where a story begins, once for all stories that begin there. */
function beginningOf(still: StoryStill, beginning: Beginning): Start {
  const key = `${still} ${beginning}`;
  const known = beginnings.get(key);
  if (known !== undefined) return known;
  const plant = storyPlant(still);
  const fresh = { plant, world: createWorld(plant), run: JSON.stringify(freshRun(0)) };
  // Built anew where bringing it there fails, so that every story says why.
  beginnings.set(key, fresh);
  const story = new Story(still, beginning);
  beginnings.delete(key);
  bringTo(story, beginning);
  if (story.broken.length > 0) throw new StoryError(`on the way to ${key}: ${story.broken.join('; ')}`);
  const standing = Object.entries(story.run.alarms).filter(([, memory]) => memory.standing && memory.active);
  if (standing.length > 0) throw new StoryError(`on the way to ${key}: ${standing.map(([id]) => id).join(', ')}`);
  const start = { plant, world: structuredClone(story.world), run: JSON.stringify(story.run) };
  beginnings.set(key, start);
  return start;
}

function bringTo(story: Story, beginning: Beginning): void {
  story.pass(60);
  if (beginning === 'idle') return;
  story.give('start');
  story.pass(120);
  if (beginning === 'heat-up') return;
  const goal = beginning === 'heads' ? 'heads' : 'hearts';
  const reached = until(story, 20_000, () => {
    if (story.run.spoutAsked !== null && story.run.receiver !== story.run.spoutAsked) {
      story.give('spout-moved', { target: story.run.spoutAsked });
    }
    return story.run.phase === goal;
  });
  if (reached === null) {
    const { phase, state, trips } = story.run;
    throw new StoryError(`${goal} was not reached: ${phase}, ${state}, ${trips.map((trip) => trip.id).join(', ')}`);
  }
  story.pass(400);
  if (beginning === 'held') story.give('hold');
  if (beginning === 'held') story.pass(60);
  if (beginning !== 'cool-down') return;
  story.give('stop');
  until(story, 3600, () => story.run.phase === 'cool-down');
  story.pass(5);
}

/** Lets time pass until something is so; the seconds it took, or null when it did not come to be. */
export function until(story: Story, withinS: number, so: () => boolean): number | null {
  const from = story.now;
  while (!so()) {
    if (story.now - from >= withinS) return null;
    story.step();
  }
  return story.now - from;
}
