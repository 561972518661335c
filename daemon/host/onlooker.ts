import type { HostLog } from './host';

/**
 * Lets somebody look on whose mistakes must not reach the control of the still: what it throws is told once, and it is asked again.
 *
 * @returns a function that does the work of an onlooker
 */
export function createOnlooker(name: string, log: HostLog): (work: () => void) => void {
  const told = new Set<string>();
  return (work) => {
    try {
      work();
    } catch (error) {
      const words = error instanceof Error ? (error.stack ?? error.message) : String(error);
      if (told.has(words) || told.size >= 100) return;
      told.add(words);
      log.error({}, `fault of ${name}, the stills run on: ${words}`);
    }
  };
}
