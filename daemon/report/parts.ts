import { html, type Insert, type Markup } from './html';

/** Parts that every section is made of. */

export interface Column {
  readonly head: string;
  /** Figures stand right; `wide` takes the room that is left. */
  readonly kind?: 'figure' | 'wide' | 'mark';
}

const classed = (kind: string | undefined): Insert => kind !== undefined && kind !== '' && html` class="${kind}"`;

export function table(columns: readonly Column[], rows: readonly (readonly Insert[])[], kind = ''): Markup {
  const head = columns.map(({ head: text, kind: style }) => html`<th scope="col"${classed(style)}>${text}</th>`);
  const body = rows.map(
    (row) => html`<tr>${columns.map(({ kind: style }, index) => html`<td${classed(style)}>${row[index]}</td>`)}</tr>
`,
  );
  return html`<div class="scroll"><table${classed(kind)}><thead><tr>${head}</tr></thead><tbody>
${body}</tbody></table></div>
`;
}

export function section(id: string, title: string, ...content: readonly Insert[]): Markup {
  return html`<section id="${id}"><h2>${title}</h2>
${content}</section>
`;
}

export function paragraph(text: Insert, kind = ''): Markup {
  return html`<p${classed(kind)}>${text}</p>
`;
}

/** Name and value below one another, in columns. */
export function facts(pairs: readonly (readonly [string, Insert] | null)[]): Markup {
  const shown = pairs.filter((pair) => pair !== null);
  return html`<dl class="facts">${shown.map(
    ([name, value]) => html`<div><dt>${name}</dt><dd>${value}</dd></div>
`,
  )}</dl>
`;
}

/** Names from outside keep their own direction of writing, and figures stay with their unit. */
export function foreign(text: string): Markup {
  return html`<bdi>${text.replace(/(\d) (?=[\u00b0%a-zA-Z])/g, '$1\u00a0')}</bdi>`;
}
