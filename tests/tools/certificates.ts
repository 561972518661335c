import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

export interface Certificates {
  readonly caFile: string;
  readonly certFile: string;
  readonly keyFile: string;
  readonly ca: string;
  readonly cert: string;
  readonly key: string;
}

function openssl(...args: readonly string[]): void {
  const run = spawnSync('openssl', args, { encoding: 'utf8' });
  if (run.status !== 0) throw new Error(`openssl ${args[0]}: ${run.stderr}`);
}

/** A certificate authority of our own and a certificate for loopback and one more address, made for one test. Needs openssl. */
export function makeCertificates(folder: string, address = '127.0.0.1'): Certificates {
  const at = (name: string) => join(folder, name);
  const ec = ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes'];
  openssl(
    'req',
    '-x509',
    ...ec,
    '-keyout',
    at('ca.key'),
    '-out',
    at('ca.pem'),
    '-days',
    '2',
    '-subj',
    '/CN=Test authority',
  );
  const names = ['-addext', `subjectAltName=DNS:localhost,IP:127.0.0.1,IP:${address}`];
  openssl(
    'req',
    '-x509',
    ...ec,
    '-CA',
    at('ca.pem'),
    '-CAkey',
    at('ca.key'),
    '-keyout',
    at('broker.key'),
    '-out',
    at('broker.pem'),
    '-days',
    '2',
    '-subj',
    '/CN=localhost',
    ...names,
  );
  const read = (name: string) => readFileSync(at(name), 'utf8');
  return {
    caFile: at('ca.pem'),
    certFile: at('broker.pem'),
    keyFile: at('broker.key'),
    ca: read('ca.pem'),
    cert: read('broker.pem'),
    key: read('broker.key'),
  };
}
