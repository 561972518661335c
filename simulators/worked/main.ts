import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { workedDocument } from './document';
import { drawCourse, drawDeviations, drawRepeats } from './plots';
import { workScenario } from './worked';

/*
 * Works the scenario through and writes its document and figures into a folder:
 *   npm run worked [-- FOLDER]
 */

const folder = process.argv[2] ?? join(process.cwd(), 'simulators', 'worked');
const startedMs = Date.now();
const worked = workScenario((line) =>
  process.stdout.write(`${((Date.now() - startedMs) / 1000).toFixed(0)} s  ${line}\n`),
);
const files: Readonly<Record<string, string>> = {
  'worked.md': workedDocument(worked),
  'course.svg': drawCourse(worked.development, worked.white, worked.oak),
  'repeats.svg': drawRepeats(worked),
  'deviations.svg': drawDeviations(worked),
};
for (const [name, content] of Object.entries(files)) writeFileSync(join(folder, name), content);
process.stdout.write(`${Object.keys(files).join(', ')} in ${folder}\n`);
