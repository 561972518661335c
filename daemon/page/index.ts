export type { PageOptions } from './gate';
export { comparedSheet } from './hand-run';
export type { JarView, SheetAbout, SheetView } from './record-views';
export { openPage, type Page } from './server';
export { sheetDocument } from './sheet-view';
export { createSheets, type Sheets } from './sheets';
export type { Answer, PageSource } from './source';
export { type HostSource, type SourceOptions, sourceOf } from './source-of';
