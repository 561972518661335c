import type { LoadedExternalBroker } from '../config/broker-secrets';
import type { LinkTarget } from './session';

/** Where an external broker is, from its url; checked when the configuration was loaded. */
export function targetOf(broker: LoadedExternalBroker): LinkTarget {
  const url = new URL(broker.url);
  const isTls = url.protocol === 'mqtts:';
  return {
    host: url.hostname.replace(/^\[(.*)\]$/, '$1'),
    port: url.port === '' ? (isTls ? 8883 : 1883) : Number(url.port),
    tls: isTls ? { ca: broker.ca, cert: broker.cert, key: broker.key } : null,
    username: broker.username,
    password: broker.password,
  };
}
