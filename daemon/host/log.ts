import pino, { type DestinationStream, type Logger } from 'pino';

/** One line for people: time of day, level where it matters, message. */
function humanLine(text: string): string {
  const entry = JSON.parse(text) as { time: number; level: number; msg?: string; still?: string };
  const time = new Date(entry.time).toTimeString().slice(0, 8);
  const level = entry.level >= 50 ? 'ERROR ' : entry.level >= 40 ? 'WARNING ' : '';
  return `${time} ${level}${entry.still === undefined ? '' : `[${entry.still}] `}${entry.msg ?? ''}\n`;
}

/**
 * The daemon's log: JSON lines, or lines for people where a terminal reads along.
 *
 * @param write where the lines go
 */
export function createLog(
  options: { readonly level: string; readonly format: 'auto' | 'human' | 'json' },
  isTerminal: boolean,
  write: (text: string) => void,
): Logger {
  const human = options.format === 'human' || (options.format === 'auto' && isTerminal);
  const destination: DestinationStream = { write: (text) => write(human ? humanLine(text) : text) };
  return pino({ level: options.level, base: null, redact: ['*.password', 'password'] }, destination);
}
