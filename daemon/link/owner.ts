import { randomBytes } from 'node:crypto';
import { parseOnline } from '../../lib/wire';
import type { LinkEvent } from './events';
import { type LinkTarget, openSession } from './session';

/** Who holds the group at the broker. */
export type Owner =
  | { readonly kind: 'ours' }
  | { readonly kind: 'nobody' }
  | { readonly kind: 'other'; readonly owner: string }
  | { readonly kind: 'unknown'; readonly why: string };

export interface OwnerQuestion {
  readonly target: LinkTarget;
  readonly clientId: string;
  readonly onlineTopic: string;
  readonly owner: string;
  /** How long to wait for the retained word once subscribed [ms]. */
  readonly waitMs?: number;
}

/**
 * Asks under another client id who holds the group.
 *
 * MQTT 3.1.1 does not say why a connection was closed: a broker that stops and a newer daemon with our id look alike. Connecting again under
 * our id would throw the newer one out, so the word that stands on the online topic is read first.
 */
export async function askOwner(question: OwnerQuestion): Promise<Owner> {
  let tell: (owner: Owner) => void = () => undefined;
  const told = new Promise<Owner>((resolve) => {
    tell = resolve;
  });
  const session = openSession({
    target: question.target,
    clientId: `${question.clientId}-ask-${randomBytes(3).toString('hex')}`,
    will: null,
    maxFrameBytes: 65536,
    onMessage: (topic, payload) => {
      const word = topic === question.onlineTopic ? parseOnline(payload.toString('utf8')) : null;
      if (word === null || word.state === 'offline') tell({ kind: 'nobody' });
      else tell(word.owner === question.owner ? { kind: 'ours' } : { kind: 'other', owner: word.owner });
    },
    onSkipped: () => tell({ kind: 'nobody' }),
    onEnd: (why) => tell({ kind: 'unknown', why }),
  });
  try {
    await session.accepted;
    const refused = await session.subscribe([{ topic: question.onlineTopic, qos: 1 }]);
    if (refused.length > 0) return { kind: 'unknown', why: `the broker refuses ${question.onlineTopic}` };
    const timer = setTimeout(() => tell({ kind: 'nobody' }), question.waitMs ?? 1000);
    const owner = await told;
    clearTimeout(timer);
    return owner;
  } catch (error) {
    return { kind: 'unknown', why: error instanceof Error ? error.message : String(error) };
  } finally {
    await session.end();
  }
}

const secondOwnerPauseMs = 10_000;

/** Tells of another owner beside us, but not more often than anybody can read. */
export function createSecondOwnerReport(
  report: (event: LinkEvent) => void,
  nowMs: () => number,
): (owner: string) => void {
  let lastMs = Number.NEGATIVE_INFINITY;
  return (owner) => {
    if (nowMs() - lastMs < secondOwnerPauseMs) return;
    lastMs = nowMs();
    report({ kind: 'second-owner', owner: owner.slice(0, 80) });
  };
}
