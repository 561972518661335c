// A process that serves the page over a journal, with no still, until it is killed: node … page-served.ts JOURNAL PORT
import { join } from 'node:path';
import { openPage } from '../../daemon/page/server';
import { sourceOf } from '../../daemon/page/source-of';
import { openJournal, valueOrThrow } from '../../daemon/store';
import { english } from '../../lib/words';

const [path = '', port = '0'] = process.argv.slice(2);
const log = { info: () => undefined, warn: () => undefined, error: console.error };
const journal = valueOrThrow(openJournal(path));
const source = sourceOf([], journal, english, { wake: () => undefined });
const folder = join(process.cwd(), 'daemon/page/assets');
openPage({ host: '127.0.0.1', port: Number(port), password: null, source, log, folder }).then(
  (page) => process.stdout.write(`${page.port}\n`),
  (error: unknown) => {
    process.stderr.write(`${String(error)}\n`);
    process.exitCode = 1;
  },
);
