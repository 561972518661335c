// A process that writes to a journal as fast as it can and says on its output what is committed, until it is killed.
import { openJournal, valueOrThrow } from '../../daemon/store';
import { decided, header, nothing, reading } from '../tools/store-samples';

const [path = '', what = 'run'] = process.argv.slice(2);
const journal = valueOrThrow(openJournal(path, { flushS: 0.05 }));

/** Every third scan or so decides something, and the minute turns often: the kill should find every kind of moment. */
function writeRun(): void {
  const known = journal.run('r1');
  if (known.kind === 'failed') valueOrThrow(journal.beginRun(header('r1')));
  else valueOrThrow(journal.continueRun('r1'));
  for (let now = known.kind === 'ok' ? known.value.scans : 0; ; now++) {
    const decides = (now * 7919) % 3 === 0;
    journal.append('r1', reading(now), decides ? decided(now) : nothing);
    const committed = journal.commit();
    if (committed.kind === 'failed') throw new Error(committed.failure.message);
    if (decides) process.stdout.write(`${now}\n`);
  }
}

/** A taster who types: each letter is a revision. */
function typeNotes(): void {
  for (let note = 'pear, glue'; ; note += 'ing'[note.length % 3]) {
    process.stdout.write(
      `${valueOrThrow(journal.saveDocument('tasting', 'jar-7', { note }, { by: 'Ada' })).revision}\n`,
    );
  }
}

if (what === 'run') writeRun();
else typeNotes();
