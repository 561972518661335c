import { html, type Insert, type Markup } from './html';
import { foreign, paragraph, section, table } from './parts';
import type { Wording } from './words';

/** One thing that can be set beside another run, in words. */
export interface ComparedLine {
  readonly what: string;
  readonly here: string;
  readonly there: string;
  readonly note?: string;
  /** Reckoned, not measured: marked wherever it is shown. */
  readonly isPrediction?: boolean;
}

/** How a run stands beside another, worded by whoever compares. */
export interface ComparedRun {
  /** The other run, or what stands for it. */
  readonly runId: string;
  readonly lines: readonly ComparedLine[];
  readonly remarks: readonly string[];
}

export function sectionCompared(compared: ComparedRun | null, runId: string, { words }: Wording): Markup | null {
  if (compared === null) return null;
  const rows = compared.lines.map(({ what, here, there, note, isPrediction }): Insert[] => [
    html`${foreign(what)}${isPrediction === true && html`<span class="below">${words.prediction}</span>`}`,
    foreign(here),
    foreign(there),
    note === undefined ? '' : foreign(note),
  ]);
  const columns = [
    { head: '' },
    { head: runId, kind: 'figure' },
    { head: compared.runId, kind: 'figure' },
    { head: '', kind: 'wide' },
  ] as const;
  return section(
    'compared',
    `${words.comparedWith} ${compared.runId}`,
    table(columns, rows),
    compared.remarks.map((remark) => paragraph(foreign(remark))),
  );
}
