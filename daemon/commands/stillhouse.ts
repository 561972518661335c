import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { connect } from 'mqtt';
import type { Input, Plant } from '../../lib/engine/types';
import type { Problem } from '../../lib/problems';
import { type OrderAnswerMessage, topicsOf } from '../../lib/wire';

/** The simulated stillhouse is a program of its own: we know its path and what it says, nothing of its inside. */
const program = join(__dirname, '..', '..', 'simulators', 'stillhouse.js');

export interface Described {
  readonly still: { readonly id: string };
  readonly recipe: object;
  readonly variant: string | null;
  readonly charge: { readonly volumeL: number; readonly strengthAbv: number };
  readonly wiring: { readonly feeds: object; readonly drives: object };
}

export function describeStillhouse(scenario: string): Described | null {
  const ran = spawnSync(process.execPath, [program, 'describe', scenario], { encoding: 'utf8' });
  return ran.status === 0 ? (JSON.parse(ran.stdout) as Described) : null;
}

export interface Stillhouse {
  /** Ends it; what really came of the run, in a line for people. */
  end(): Promise<string | null>;
}

interface Said {
  readonly ready?: boolean;
  readonly fractions?: Readonly<Record<string, { readonly volumeL: number; readonly strengthAbv: number | null }>>;
}

export async function startStillhouse(
  scenario: string,
  brokerUrl: string,
  speed: number,
  seed: number,
): Promise<Stillhouse> {
  const args = [program, 'run', scenario, '--broker', brokerUrl, '--speed', String(speed), '--seed', String(seed)];
  const child = spawn(process.execPath, args, { stdio: ['pipe', 'pipe', 'inherit'] });
  let truth: string | null = null;
  const ready = new Promise<void>((resolve, reject) => {
    child.once('exit', (code) => reject(new Error(`the simulated stillhouse ended with ${code}`)));
    createInterface({ input: child.stdout }).on('line', (line) => {
      const said = JSON.parse(line) as Said;
      if (said.ready === true) resolve();
      if (said.fractions !== undefined) truth = showFractions(said.fractions);
    });
  });
  await ready;
  return {
    async end() {
      await endOf(child);
      return truth;
    },
  };
}

function endOf(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return Promise.resolve();
  return new Promise((resolve) => {
    const hard = setTimeout(() => child.kill('SIGKILL'), 3000);
    // 'close' rather than 'exit': what it said last is to be read first.
    child.once('close', () => {
      clearTimeout(hard);
      resolve();
    });
    child.stdin?.end();
  });
}

function showFractions(fractions: NonNullable<Said['fractions']>): string {
  return Object.entries(fractions)
    .map(
      ([receiver, { volumeL, strengthAbv }]) =>
        `${receiver} ${volumeL.toFixed(2)} L${strengthAbv === null || volumeL === 0 ? '' : ` at ${(strengthAbv * 100).toFixed(1)} % vol`}`,
    )
    .join(', ');
}

/** What came of a simulated run, as the stillhouse tells it. */
export interface Simulated {
  readonly csv: string;
  readonly fractions: Readonly<
    Record<string, { readonly volumeL: number; readonly strengthAbv: number | null; readonly spilledL: number }>
  >;
  readonly truth: object;
  /** What the still really held at each phase change. */
  readonly cuts: readonly { readonly truth: { readonly collectedL: number; readonly alcoholShare: number } }[];
  readonly balance: object;
}

/** Has a whole run simulated; plant and inputs are heard as they come, the result at the end. */
export function simulateInStillhouse(
  request: object,
  hear: (line: { readonly plant?: Plant; readonly input?: Input }) => void,
): Promise<Simulated | { readonly problems: readonly Problem[] }> {
  const child = spawn(process.execPath, [program, 'simulate'], { stdio: ['pipe', 'pipe', 'inherit'] });
  let result: Simulated | { readonly problems: readonly Problem[] } | null = null;
  createInterface({ input: child.stdout }).on('line', (text) => {
    const line = JSON.parse(text) as { plant?: Plant; input?: Input; csv?: string; problems?: readonly Problem[] };
    if (line.csv !== undefined || line.problems !== undefined) result = line as typeof result;
    else hear(line);
  });
  child.stdin.end(JSON.stringify(request));
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code) => {
      if (result === null) reject(new Error(`the simulated stillhouse ended with ${code} and said nothing`));
      else resolve(result);
    });
  });
}

const answerWithinMs = 5000;

/** Says an order as anybody would, on the order topic, and waits for the answer. */
export async function sayOrder(brokerUrl: string, still: string, order: object): Promise<OrderAnswerMessage | null> {
  const topics = topicsOf(still);
  const id = `demo-${Math.random().toString(36).slice(2)}`;
  const client = connect(brokerUrl, { reconnectPeriod: 0 });
  try {
    return await new Promise<OrderAnswerMessage | null>((resolve) => {
      const timer = setTimeout(() => resolve(null), answerWithinMs);
      client.once('error', () => resolve(null));
      client.on('message', (_topic, payload) => {
        const answer = JSON.parse(payload.toString('utf8')) as OrderAnswerMessage;
        if (answer.id !== id) return;
        clearTimeout(timer);
        resolve(answer);
      });
      client.once('connect', () => {
        client.subscribe(topics.orderAnswer, { qos: 1 }, () => {
          client.publish(topics.order, JSON.stringify({ id, by: 'the demo', ...order }), { qos: 1 });
        });
      });
    });
  } finally {
    client.end(true);
  }
}
