/** Text that is HTML already; everything else is escaped where it is put in. */
export class Markup {
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }
}

export type Insert = Markup | string | number | null | undefined | false | readonly Insert[];

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Control characters, lone surrogates, and marks that turn the direction of what follows: nothing a name needs. */
const unseen = /(?![\t\r\n])[\p{Cc}\p{Cs}\u202a-\u202e\u2066-\u2069\ufffe\uffff]/gu;

/** Foreign text as it may stand anywhere, on a page or a terminal: what is not to be seen is marked as such. */
export function plainText(text: string): string {
  return text.replace(unseen, '\ufffd');
}

/** Foreign text on one line. */
export function oneLine(text: string): string {
  return plainText(text.replace(/\s+/g, ' '));
}

export function escapeHtml(text: string): string {
  return plainText(text).replace(/[&<>"']/g, (character) => entities[character] ?? character);
}

function markup(insert: Insert): string {
  if (insert instanceof Markup) return insert.text;
  if (Array.isArray(insert)) return (insert as readonly Insert[]).map(markup).join('');
  if (insert === null || insert === undefined || insert === false) return '';
  return escapeHtml(String(insert));
}

/** HTML from a template: what is put in is escaped unless it is markup itself. */
export function html(parts: TemplateStringsArray, ...inserts: readonly Insert[]): Markup {
  let text = parts[0] ?? '';
  for (const [index, insert] of inserts.entries()) text += markup(insert) + (parts[index + 1] ?? '');
  return new Markup(text);
}
