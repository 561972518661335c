import type { Command } from '../../lib/engine/types';

/** Lets commands out in their order, drive by drive: one that waited is dropped when a newer one of its drive has gone. */
export interface Outbox {
  /** What may leave at once: towards the safe state, and repeats of what is known to be written down. */
  atOnce(commands: readonly Command[], decided: boolean): readonly Command[];
  /** What of these may still leave now that they are written down. */
  afterWriting(commands: readonly Command[], nowS: number): readonly Command[];
}

export function createOutbox(): Outbox {
  const newest = new Map<string, string>();
  return {
    atOnce(commands, decided) {
      for (const command of commands) newest.set(command.drive, command.id);
      return commands.filter((command) => command.safe || command.repeat || !decided);
    },
    afterWriting(commands, nowS) {
      return commands.filter(
        (command) => newest.get(command.drive) === command.id && nowS - command.issuedAtS <= command.ttlS,
      );
    },
  };
}
