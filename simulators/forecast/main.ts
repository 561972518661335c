import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { caseOf, firstShown, shownRuns } from './cases';
import { accuracyDocument } from './document';
import { measureCase, type Seen, type Told } from './measure';

/*
 * Measures over simulated runs how well the next cut is foretold, and writes the document:
 *   npm run forecast [-- FOLDER]
 */

const folder = process.argv[2] ?? join(process.cwd(), 'simulators', 'forecast');
const told: Told[] = [];
const seen: Seen[] = [];
for (let run = 0; run < shownRuns; run++) {
  const measured = measureCase(caseOf(firstShown + run));
  told.push(...measured.told);
  seen.push(...measured.seen);
  process.stdout.write(`\r${run + 1} of ${shownRuns} runs`);
}
writeFileSync(join(folder, 'accuracy.md'), accuracyDocument(told, seen, shownRuns));
process.stdout.write(`\naccuracy.md in ${folder}\n`);
