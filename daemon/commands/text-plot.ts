export interface PlotOptions {
  readonly width: number;
  readonly height: number;
  readonly x: string;
  readonly y: string;
}

/**
 * A line of points as text, with its scales: for a terminal.
 *
 * @param points [x, y], in order of x
 */
export function plotLine(points: readonly (readonly [number, number])[], options: PlotOptions): string {
  const { width, height } = options;
  if (points.length < 2) return `(too few points for a plot of ${options.y})`;
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [low, high] = [Math.floor(Math.min(...ys)), Math.ceil(Math.max(...ys))];
  const grid = Array.from({ length: height }, () => new Array<string>(width).fill(' '));
  for (const [x, y] of points) {
    const column = Math.round(((x - left) / (right - left || 1)) * (width - 1));
    const row = height - 1 - Math.round(((y - low) / (high - low || 1)) * (height - 1));
    const cells = grid[row];
    if (cells !== undefined) cells[column] = '•';
  }
  const margin = Math.max(String(low).length, String(high).length);
  const rows = grid.map((cells, row) => {
    const label = row === 0 ? String(high) : row === height - 1 ? String(low) : '';
    return `${label.padStart(margin)} │${cells.join('').trimEnd()}`;
  });
  const axis = `${' '.repeat(margin)} └${'─'.repeat(width)}`;
  const [from, to] = [left.toFixed(1), `${right.toFixed(1)} ${options.x}`];
  return [
    `${' '.repeat(margin)} ${options.y}`,
    ...rows,
    axis,
    `${' '.repeat(margin + 2)}${from}${to.padStart(width - from.length)}`,
  ].join('\n');
}
