import { type Problem, problem, warning } from '../../lib/problems';
import type { Config, EmbeddedBroker, ExternalBroker } from './schema';

/** An address that nobody outside this machine can reach. */
export function isLoopback(host: string): boolean {
  return host === 'localhost' || host === '::1' || host === '[::1]' || /^127(\.\d{1,3}){3}$/.test(host);
}

function embeddedProblems(broker: EmbeddedBroker): readonly Problem[] {
  const found: Problem[] = [];
  const hasUsers = Object.keys(broker.users).length > 0;
  if (!isLoopback(broker.host) && !hasUsers) {
    const remedy = 'Add users with passwordFile and role, or keep host at 127.0.0.1';
    found.push(
      problem(
        'broker.embedded.users',
        undefined,
        `anybody on the network could command the still at ${broker.host}`,
        remedy,
      ),
    );
  }
  if ((broker.certFile === undefined) !== (broker.keyFile === undefined)) {
    const missing = broker.certFile === undefined ? 'certFile' : 'keyFile';
    found.push(
      problem(`broker.embedded.${missing}`, undefined, 'is missing', 'TLS needs certFile and keyFile together'),
    );
  }
  if (!isLoopback(broker.host) && hasUsers && broker.certFile === undefined) {
    found.push(
      warning(
        'broker.embedded.certFile',
        undefined,
        'without TLS passwords cross the network in the clear',
        'Add certFile and keyFile',
      ),
    );
  }
  return found;
}

function urlOf(text: string): URL | null {
  try {
    return new URL(text);
  } catch {
    return null;
  }
}

const credentialsInUrl = problem(
  'broker.url',
  undefined,
  'holds a user or password',
  'Use username and passwordFile: a url ends up in logs',
);

function externalProblems(broker: ExternalBroker): readonly Problem[] {
  const url = urlOf(broker.url);
  const remedy = 'Write mqtt://host:1883 or mqtts://host:8883';
  if (url === null || url.hostname === '')
    return [
      problem('broker.url', broker.url.includes('@') ? undefined : broker.url, 'is no address of a broker', remedy),
    ];
  // Nothing else is said about such a url: its text is the secret.
  if (url.password !== '' || url.username !== '') return [credentialsInUrl];
  const found: Problem[] = [];
  if (url.protocol !== 'mqtt:' && url.protocol !== 'mqtts:')
    found.push(problem('broker.url', url.protocol, 'is no protocol we speak', remedy));
  if ((url.pathname !== '' && url.pathname !== '/') || url.search !== '')
    found.push(problem('broker.url', broker.url, 'has a path', remedy));
  if ((broker.certFile === undefined) !== (broker.keyFile === undefined)) {
    const missing = broker.certFile === undefined ? 'certFile' : 'keyFile';
    found.push(
      problem(
        `broker.${missing}`,
        undefined,
        'is missing',
        'A certificate of our own needs certFile and keyFile together',
      ),
    );
  }
  if (url.protocol === 'mqtt:' && broker.caFile !== undefined) {
    found.push(
      problem('broker.caFile', broker.caFile, 'does nothing without TLS', 'Use an mqtts:// address, or remove it'),
    );
  }
  if (broker.passwordFile !== undefined && broker.username === undefined) {
    found.push(problem('broker.username', undefined, 'is missing', 'A password needs its user (MQTT 3.1.1, 3.1.2.9)'));
  }
  if (!isLoopback(url.hostname) && broker.username === undefined && broker.certFile === undefined) {
    found.push(
      warning(
        'broker.username',
        undefined,
        'whoever reaches this broker can give orders',
        'Set up users and permissions at the broker',
      ),
    );
  }
  if (!isLoopback(url.hostname) && url.protocol === 'mqtt:' && broker.username !== undefined) {
    found.push(
      warning(
        'broker.url',
        broker.url,
        'the password crosses the network in the clear',
        'Use mqtts:// with a certificate',
      ),
    );
  }
  return found;
}

/** What the configuration opens to the network, and under which conditions. */
export function checkNetwork(config: Config): readonly Problem[] {
  const { broker, page } = config;
  const found = [...('embedded' in broker ? embeddedProblems(broker.embedded) : externalProblems(broker))];
  if (page.enabled && !isLoopback(page.host) && page.passwordFile === undefined) {
    const remedy = 'Add passwordFile, or keep host at 127.0.0.1';
    found.push(
      problem('page.passwordFile', undefined, `anybody on the network could give orders at ${page.host}`, remedy),
    );
  }
  return found;
}
