/**
 * Rows under a head, in columns as wide as they must be.
 *
 * @param left columns that stand at the left; all others are numbers and stand at the right
 */
export function table(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  left: readonly number[] = [0],
): string {
  const widths = head.map((title, column) => Math.max(title.length, ...rows.map((row) => row[column]?.length ?? 0)));
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, column) => (left.includes(column) ? cell.padEnd(widths[column]!) : cell.padStart(widths[column]!)))
      .join('  ')
      .trimEnd();
  return [line(head), ...rows.map(line)].join('\n');
}

/** Seconds as h:mm:ss. */
export function clock(timeS: number): string {
  const whole = Math.round(timeS);
  const two = (value: number) => String(value).padStart(2, '0');
  return `${Math.floor(whole / 3600)}:${two(Math.floor((whole % 3600) / 60))}:${two(whole % 60)}`;
}
