import { readFileSync } from 'node:fs';
import { checkSheet, readCsv, type Sheet } from '../../lib/jars';
import { type Checked, problem } from '../../lib/problems';
import { readDocumentFile } from '../config';
import { createSheets, type SheetView, sheetDocument } from '../page';
import type { Answer } from '../page/source';
import type { Journal } from '../store';
import { type OptionSpec, type Options, textOf } from './command';
import { openRecord, usualFolder } from './record-options';

/** Options of every verb that reads a sheet: a file stands without a name, a sheet of the record has one. */
export const sheetOptions = {
  sheet: { type: 'string' },
  data: { type: 'string' },
} as const satisfies Readonly<Record<string, OptionSpec>>;

/** Works on the record of --data and closes it, whatever comes of it; a record that is not there is never made. */
export function withRecord<T>(options: Options, readOnly: boolean, work: (journal: Journal) => Checked<T>): Checked<T> {
  const opened = openRecord(options, readOnly ? 'read' : 'write');
  if (opened.kind === 'failed') {
    const { message, remedy } = opened.failure;
    return { kind: 'bad', problems: [problem('--data', textOf(options, 'data') ?? usualFolder, message, remedy)] };
  }
  try {
    return work(opened.value);
  } finally {
    opened.value.close();
  }
}

/** An answer of the sheets in the record, as a result that lists its problems. */
export function checkedOf<T>(path: string, value: string, answer: Answer<T>): Checked<T> {
  switch (answer.kind) {
    case 'ok':
      return { kind: 'ok', value: answer.value, warnings: [] };
    case 'bad':
      return answer;
    case 'unknown':
      return {
        kind: 'bad',
        problems: [problem(path, value, answer.message, 'middlecut jars list shows those there are')],
      };
    case 'conflict': {
      const remedy = 'Look at jars history, and write it again';
      const message = `somebody else has just written ${answer.fields.join(', ')}`;
      return { kind: 'bad', problems: [problem(path, value, message, remedy)] };
    }
    case 'failed':
      return { kind: 'bad', problems: [problem(path, value, answer.message, answer.remedy)] };
  }
}

/** Sheets of a record opened by the command line; it pours no glasses there, so needs no chance. */
export function sheetsIn(journal: Journal) {
  return createSheets(journal, () => 1);
}

export function viewInRecord(journal: Journal, id: string): Checked<SheetView> {
  return checkedOf('--sheet', id, sheetsIn(journal).show(id));
}

/** The sheet a call is about: a CSV, JSON or YAML file, or with --sheet one of the record. */
export function sheetOf(options: Options, file: string | undefined): Checked<Sheet> {
  const id = textOf(options, 'sheet');
  if (id !== undefined) {
    return withRecord(options, true, (journal) => {
      const view = viewInRecord(journal, id);
      return view.kind === 'bad' ? view : sheetOfView(view.value);
    });
  }
  if (file === undefined) {
    const remedy = 'Name a CSV, JSON or YAML file, or a sheet of the record with --sheet';
    return { kind: 'bad', problems: [problem('file', undefined, 'is missing', remedy)] };
  }
  return sheetOfFile(file);
}

/** A sheet of the record as one document. */
export function sheetOfView(view: SheetView): Checked<Sheet> {
  const document = sheetDocument(view);
  if (document !== null) return checkSheet(document);
  const remedy = 'Write it down with jars about --charge-l L --charge-percent P';
  return { kind: 'bad', problems: [problem('charge', undefined, 'is not known', remedy)] };
}

function sheetOfFile(file: string): Checked<Sheet> {
  if (/\.(json|ya?ml)$/i.test(file)) {
    const read = readDocumentFile(file);
    return read.kind === 'ok' ? checkSheet(read.document) : read;
  }
  try {
    return readCsv(readFileSync(file === '-' ? 0 : file, 'utf8').replace(/^\uFEFF/, ''));
  } catch (error) {
    const why = (error as NodeJS.ErrnoException).code === 'ENOENT' ? 'is not there' : 'cannot be read';
    return { kind: 'bad', problems: [problem('file', file, why, 'Name a CSV, JSON or YAML file')] };
  }
}
