// A process that writes a run as fast as it can and says on its output what is committed, until it is killed.
import { openJournal, valueOrThrow } from '../../daemon/store';
import { decided, header, nothing, reading } from '../tools/store-samples';

const [path = '', runId = '', flushS = '0.05'] = process.argv.slice(2);
const journal = valueOrThrow(openJournal(path, { flushS: Number(flushS) }));
const known = journal.run(runId);
if (known.kind === 'failed') valueOrThrow(journal.beginRun(header(runId)));
else valueOrThrow(journal.continueRun(runId));
// Every third scan or so decides something, and the minute turns often: the kill should find every kind of moment.
for (let now = known.kind === 'ok' ? known.value.scans : 0; ; now++) {
  const decides = (now * 7919) % 3 === 0;
  journal.append(runId, reading(now), decides ? decided(now) : nothing);
  const committed = journal.commit();
  if (committed.kind === 'failed') throw new Error(committed.failure.message);
  if (decides) process.stdout.write(`${now}\n`);
}
