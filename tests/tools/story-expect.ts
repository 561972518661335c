import { type Story, StoryError } from './story';

/** Null when it is so, else what is so instead. */
export type Judge = () => string | null;

export function isFail(found: string | null): found is string {
  return found !== null;
}

const drivesOf = (story: Story, kind: string): string[] =>
  Object.keys(story.plant.still.drives).filter((id) => story.plant.still.drives[id]?.kind === kind);

/** Understands what a story expects: `heat off`, `alarm coolant-flow-lost`, `receiver feints open`, … */
export function judgeOf(story: Story, text: string): Judge {
  const words = text.split(' ');
  const subject = words[0] ?? '';
  const rest = words.slice(1).join(' ');
  switch (subject) {
    case 'heat':
      return heat(story, rest);
    case 'power':
      return () => (story.world.heatW === 0 ? null : `${story.world.heatW} W go in`);
    case 'coolant':
    case 'contactor':
    case 'take-off':
      return drive(story, subject, rest);
    case 'receiver':
      return receiver(story, words[1] ?? '', words[2] ?? '');
    case 'spout':
      return () => (story.run.drives.spout?.value === words[2] ? null : `spout at ${story.run.drives.spout?.value}`);
    case 'state':
      return () => (story.run.state === rest ? null : `state is ${story.run.state}`);
    case 'phase':
      return () => (story.run.phase === rest ? null : `phase is ${story.run.phase}`);
    case 'alarm':
      return alarm(story, words[1] ?? '', words[2]);
    case 'no':
      return none(story, words.slice(1));
    case 'trip':
      return () => (story.run.trips.some((trip) => named(trip.id, rest)) ? null : `trips are ${trips(story)}`);
    case 'first-out':
      return () => (named(story.run.firstOut ?? '', rest) ? null : `first-out is ${story.run.firstOut}`);
    case 'cuts':
      return () => (story.run.cut.suspended === (rest === 'suspended') ? null : `cuts are not ${rest}`);
    case 'valves':
      return valvesStay(story);
    default:
      throw new StoryError(`"${text}" can not be expected`);
  }
}

function named(id: string, name: string): boolean {
  return id === name || id.startsWith(`${name}:`);
}

function trips(story: Story): string {
  return story.run.trips.map((trip) => trip.id).join(', ') || 'none';
}

function heat(story: Story, rest: string): Judge {
  const told = () => Math.max(0, ...drivesOf(story, 'heat').map((id) => Number(story.run.drives[id]?.value ?? 0)));
  const share = /^(about|at most) (\d+) %$/.exec(rest);
  return () => {
    const value = told();
    const limit = Number(share?.[2]) / 100;
    const so =
      share === null
        ? rest === 'on'
          ? value > 0
          : value === 0
        : share[1] === 'about'
          ? Math.abs(value - limit) < 0.02
          : value <= limit;
    return so ? null : `heat is told ${value} (${story.run.state}, trips ${trips(story)})`;
  };
}

function drive(story: Story, kind: string, rest: string): Judge {
  const open = rest === 'on' || rest === 'open' || rest === 'closed' ? rest : 'off';
  // A contactor that is closed carries current; a take-off that is closed carries nothing.
  const wantsOne = kind === 'contactor' ? open === 'closed' : open === 'on' || open === 'open';
  return () => {
    const values = drivesOf(story, kind).map((id) => Number(story.run.drives[id]?.value ?? 0));
    if (values.length === 0) return `this still has no ${kind}`;
    return values.every((value) => value > 0 === wantsOne) ? null : `${kind} is told ${values.join(', ')}`;
  };
}

function receiver(story: Story, id: string, wanted: string): Judge {
  const valve = Object.keys(story.plant.still.drives).find((name) => {
    const here = story.plant.still.drives[name];
    return here?.kind === 'receiver-valve' && here.receiver === id;
  });
  if (valve === undefined) throw new StoryError(`there is no valve for ${id}`);
  return () => {
    const value = story.run.drives[valve]?.value;
    return (value === 1) === (wanted === 'open') ? null : `${valve} is told ${value}`;
  };
}

function alarm(story: Story, name: string, wanted: string | undefined): Judge {
  return () => {
    const states = story.alarmsNamed(name).map((id) => story.alarm(id));
    const so = states.some((one) => (wanted === undefined ? one.active : one.state === wanted));
    if (so) return null;
    const standing = Object.keys(story.run.alarms).filter((id) => story.alarm(id).active);
    return `${name} is ${states.map((one) => one.state).join(', ') || 'normal'}; active are ${standing.join(', ') || 'none'}`;
  };
}

function none(story: Story, words: readonly string[]): Judge {
  const name = words[1];
  if (words[0] === 'trip') return () => (story.run.trips.length === 0 ? null : `trips are ${trips(story)}`);
  if (words[0] !== 'alarm') throw new StoryError(`"no ${words.join(' ')}" can not be expected`);
  return () => {
    const ids = name === undefined ? Object.keys(story.run.alarms) : story.alarmsNamed(name);
    const active = ids.filter((id) => story.alarm(id).active);
    return active.length === 0 ? null : `${active.join(', ')} stands`;
  };
}

/** The receiver valves are told what they were told when this was first asked. */
function valvesStay(story: Story): Judge {
  const told = () =>
    drivesOf(story, 'receiver-valve')
      .map((id) => `${id} ${story.run.drives[id]?.value} since ${story.run.drives[id]?.changedAtS}`)
      .join('; ');
  const before = told();
  return () => (told() === before ? null : `valves moved: ${told()} after ${before}`);
}
