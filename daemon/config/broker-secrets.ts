import type { Problem } from '../../lib/problems';
import type { Config, EmbeddedBroker, ExternalBroker, Role } from './schema';
import { type Found, type Places, readPem, readSecret, type Secret } from './secret';

export interface LoadedUser {
  readonly name: string;
  readonly password: Secret;
  readonly role: Role;
  readonly publish: readonly string[] | null;
  readonly subscribe: readonly string[] | null;
}

export interface LoadedEmbeddedBroker {
  readonly kind: 'embedded';
  readonly host: string;
  readonly port: number;
  readonly users: readonly LoadedUser[];
  readonly tls: { readonly cert: string; readonly key: string } | null;
  readonly clientId: string;
}

export interface LoadedExternalBroker {
  readonly kind: 'external';
  readonly url: string;
  readonly username: string | null;
  readonly password: Secret | null;
  readonly ca: string | null;
  readonly cert: string | null;
  readonly key: string | null;
  readonly clientId: string;
}

export type LoadedBroker = LoadedEmbeddedBroker | LoadedExternalBroker;

/** Gathers the problems of several files while their values are used. */
function gatherer() {
  const problems: Problem[] = [];
  const gather = <T>(found: Found<T> | null): T | null => {
    if (found === null) return null;
    problems.push(...found.problems);
    return found.value;
  };
  return { problems, gather };
}

function loadEmbedded(broker: EmbeddedBroker, clientId: string, places: Places): Found<LoadedBroker> {
  const { problems, gather } = gatherer();
  const base = 'broker.embedded';
  const users = Object.entries(broker.users).flatMap(([name, user]) => {
    const password = gather(readSecret(`${base}.users.${name}.passwordFile`, user.passwordFile, places));
    if (password === null) return [];
    return [{ name, password, role: user.role, publish: user.publish ?? null, subscribe: user.subscribe ?? null }];
  });
  const pem = (field: 'certFile' | 'keyFile') => {
    const file = broker[field];
    return file === undefined ? null : gather(readPem(`${base}.${field}`, file, places));
  };
  const [cert, key] = [pem('certFile'), pem('keyFile')];
  const tls = cert !== null && key !== null ? { cert, key } : null;
  return { value: { kind: 'embedded', host: broker.host, port: broker.port, users, tls, clientId }, problems };
}

function loadExternal(broker: ExternalBroker, clientId: string, places: Places): Found<LoadedBroker> {
  const { problems, gather } = gatherer();
  const pem = (field: 'caFile' | 'certFile' | 'keyFile') => {
    const file = broker[field];
    return file === undefined ? null : gather(readPem(`broker.${field}`, file, places));
  };
  const password =
    broker.passwordFile === undefined ? null : gather(readSecret('broker.passwordFile', broker.passwordFile, places));
  const value: LoadedExternalBroker = {
    kind: 'external',
    url: broker.url,
    username: broker.username ?? null,
    password,
    ca: pem('caFile'),
    cert: pem('certFile'),
    key: pem('keyFile'),
    clientId: broker.clientId ?? clientId,
  };
  return { value, problems };
}

/** The broker's part of the configuration, with its secrets and certificates read. */
export function loadBroker(broker: Config['broker'], group: string, places: Places): Found<LoadedBroker> {
  const clientId = `middlecut-${group}`;
  return 'embedded' in broker
    ? loadEmbedded(broker.embedded, clientId, places)
    : loadExternal(broker, clientId, places);
}
