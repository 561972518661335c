export * from './events';
export * from './link';
export type { LinkTarget } from './session';
export * from './target';
