import { type RunningBroker, startBroker } from '../../daemon/broker';
import { type LoadedEmbeddedBroker, secretOf } from '../../daemon/config';
import type { LinkTarget } from '../../daemon/link';
import { freePort, startMosquitto } from './mosquitto';

/** A broker of either kind, with what the same test asks of both. */
export interface TestBroker {
  readonly port: number;
  readonly target: LinkTarget;
  readonly stop: () => Promise<void>;
  readonly start: () => Promise<void>;
  readonly remove: () => Promise<void>;
}

export function plainTarget(port: number): LinkTarget {
  return { host: '127.0.0.1', port, tls: null, username: null, password: null };
}

export function embeddedConfig(port: number, more: Partial<LoadedEmbeddedBroker> = {}): LoadedEmbeddedBroker {
  return { kind: 'embedded', host: '127.0.0.1', port, users: [], tls: null, clientId: 'middlecut-test', ...more };
}

export function testUser(name: string, role: 'reader' | 'operator' | 'device', password: string) {
  return { name, role, password: secretOf(password), publish: null, subscribe: null } as const;
}

export async function startEmbedded(): Promise<TestBroker> {
  const port = await freePort();
  let running: RunningBroker | null = await startBroker(embeddedConfig(port));
  const stop = async () => {
    await running?.close();
    running = null;
  };
  const start = async () => {
    running = await startBroker(embeddedConfig(port));
  };
  return { port, target: plainTarget(port), stop, start, remove: stop };
}

export async function startReal(): Promise<TestBroker> {
  const broker = await startMosquitto();
  return {
    port: broker.port,
    target: plainTarget(broker.port),
    stop: broker.stop,
    start: broker.start,
    remove: broker.remove,
  };
}
