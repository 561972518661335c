import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { figureTable, measureFigures } from './sim-figures';

const page = join(__dirname, '..', '..', 'simulators', 'model.md');
const marks = /<!-- figures: begin -->\n([\s\S]*?)\n<!-- figures: end -->/;

describe('the page on the simulated still', () => {
  it('shows the figures as they are measured now (write them anew with FIGURES=write)', () => {
    const table = figureTable(measureFigures());
    const text = readFileSync(page, 'utf8');
    if (process.env.FIGURES === 'write') {
      writeFileSync(page, text.replace(marks, `<!-- figures: begin -->\n${table}\n<!-- figures: end -->`));
    }
    expect(readFileSync(page, 'utf8').match(marks)?.[1]).toBe(table);
  });
});
