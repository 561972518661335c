import type { Trouble } from './troubles';

/** Kinds of trouble remembered at once; beyond it nothing new is told until something is mended. */
const mostRemembered = 200;

/** Tells a trouble once and not per message; it is told again after it was mended in between. */
export interface ToldOnce {
  /** Whether this is news. */
  tell(found: Trouble): boolean;
  /** Something good came from there: its troubles are news again. */
  mended(about: string): void;
  forget(): void;
}

export function createToldOnce(): ToldOnce {
  const told = new Set<string>();
  return {
    tell(found) {
      if (told.has(found.key) || told.size >= mostRemembered) return false;
      told.add(found.key);
      return true;
    },
    mended(about) {
      if (told.size === 0) return;
      for (const key of told) if (key.slice(key.indexOf(' ') + 1) === about) told.delete(key);
    },
    forget: () => told.clear(),
  };
}
