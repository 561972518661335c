import {
  type Command,
  createController,
  type Event,
  freshRun,
  type Order,
  type OrderKind,
  type Plant,
} from '../../lib';

export type Values = Readonly<Record<string, number | null>>;

/** Drives the engine second by second with readings given as functions of time: for tests of its rules. */
export function driveRun(plant: Plant) {
  const controller = createController(plant, freshRun(0));
  const events: Event[] = [];
  const commands: Command[] = [];
  let now = 0;
  let orders = 0;
  return {
    controller,
    events,
    commands,
    get now() {
      return now;
    },
    order(kind: OrderKind, more: Partial<Order> = {}) {
      orders += 1;
      controller.order({ id: `o${orders}`, kind, by: 'test', from: 'still', ...more });
    },
    /** Feeds the same or moving values for some seconds, one scan a second. */
    feed(seconds: number, values: Values | ((timeS: number) => Values)) {
      const from = events.length;
      for (let second = 0; second < seconds; second += 1) {
        const given = typeof values === 'function' ? values(now) : values;
        for (const [point, value] of Object.entries(given)) {
          if (value !== null) controller.put({ point, value, atS: now });
        }
        const result = controller.scan(now);
        events.push(...result.events);
        commands.push(...result.commands);
        now += 1;
      }
      return events.slice(from);
    },
    /** The value a drive was last told. */
    drive(id: string) {
      return controller.run.drives[id]?.value;
    },
  };
}

export function phasesOf(events: readonly Event[]): string[] {
  return events.flatMap((event) => (event.kind === 'phase' ? [`${event.from} > ${event.to}`] : []));
}
