import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { caseOf, firstShown, shownRuns } from './cases';
import { accuracyDocument } from './document';
import { measureCase, type Told } from './measure';

/*
 * Measures over simulated runs how well the next cut is foretold, and writes the document:
 *   npm run forecast [-- FOLDER]
 */

const folder = process.argv[2] ?? join(process.cwd(), 'simulators', 'forecast');
const all: Told[] = [];
for (let run = 0; run < shownRuns; run++) {
  all.push(...measureCase(caseOf(firstShown + run)));
  process.stdout.write(`\r${run + 1} of ${shownRuns} runs`);
}
writeFileSync(join(folder, 'accuracy.md'), accuracyDocument(all, shownRuns));
process.stdout.write(`\naccuracy.md in ${folder}\n`);
