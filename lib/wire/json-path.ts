/**
 * Where a value stands in a JSON payload, written as people write it:
 * `DS18B20.Temperature`, `params['switch:0'].output`, `sensors[2].value`, and by a neighbour's value where the place itself moves:
 * `DS18B20*[Id='3C01F0962C11'].Temperature` (the first member whose name begins with DS18B20 and whose `Id` is this).
 */
export type PathStep =
  | { readonly kind: 'key'; readonly key: string }
  | { readonly kind: 'prefix'; readonly prefix: string }
  | { readonly kind: 'where'; readonly key: string; readonly equals: string };

export type JsonPath = readonly PathStep[];

export type ParsedPath =
  | { readonly kind: 'ok'; readonly path: JsonPath }
  | { readonly kind: 'error'; readonly problem: string; readonly remedy: string };

const maxSteps = 16;
const remedy =
  "write it like DS18B20.Temperature, params['switch:0'].output, sensors[2].value or DS18B20*[Id='3C01…'].Temperature";

// One step at the start of the rest: a name with or without `*`, a bracketed number or quoted name, a bracketed condition.
const name = /^\.?([^.[\]'"*]*)(\*?)/;
const bracketed = /^\[\s*(?:(\d{1,6})|'([^']*)'|"([^"]*)")\s*\]/;
const condition = /^\[\s*([A-Za-z_$][\w$-]*)\s*=\s*(?:'([^']*)'|"([^"]*)"|([^'"\]\s]+))\s*\]/;

function bracketStep(rest: string): { step: PathStep; length: number } | null {
  const plain = bracketed.exec(rest);
  if (plain !== null) {
    return { step: { kind: 'key', key: plain[1] ?? plain[2] ?? plain[3] ?? '' }, length: plain[0].length };
  }
  const where = condition.exec(rest);
  if (where === null) return null;
  const equals = where[2] ?? where[3] ?? where[4] ?? '';
  return { step: { kind: 'where', key: where[1] ?? '', equals }, length: where[0].length };
}

function nameStep(rest: string): { step: PathStep; length: number } | null {
  const found = name.exec(rest);
  if (found === null || found[0] === '' || found[0] === '.') return null;
  const text = found[1] ?? '';
  const step: PathStep = found[2] === '*' ? { kind: 'prefix', prefix: text } : { kind: 'key', key: text };
  return { step, length: found[0].length };
}

/**
 * Understands a path once, so that readings need not.
 *
 * @param text the path; a leading `$` for the document itself is allowed
 * @returns the steps, or the problem and a remedy
 * @example parsePath("params['switch:0'].output")
 */
export function parsePath(text: string): ParsedPath {
  let rest = /^\$(?=[.[]|$)/.test(text) ? text.slice(1) : text;
  const path: PathStep[] = [];
  while (rest !== '') {
    const next = rest.startsWith('[')
      ? bracketStep(rest)
      : path.length === 0 && rest.startsWith('.') && !text.startsWith('$')
        ? null
        : nameStep(rest);
    if (next === null)
      return { kind: 'error', problem: `path '${text}' cannot be read at '${rest.slice(0, 20)}'`, remedy };
    path.push(next.step);
    rest = rest.slice(next.length);
    if (rest !== '' && !rest.startsWith('.') && !rest.startsWith('[')) {
      return { kind: 'error', problem: `path '${text}' cannot be read at '${rest.slice(0, 20)}'`, remedy };
    }
  }
  if (path.length === 0)
    return { kind: 'error', problem: 'the path is empty', remedy: `leave it out for a plain payload, or ${remedy}` };
  if (path.length > maxSteps) return { kind: 'error', problem: `the path has more than ${maxSteps} steps`, remedy };
  return { kind: 'ok', path };
}

/** Own members only: a payload with `__proto__` or a path with `constructor` reaches nothing that was not sent. */
function ownMember(here: unknown, key: string): unknown {
  if (here === null || typeof here !== 'object' || !Object.hasOwn(here, key)) return undefined;
  return (here as Readonly<Record<string, unknown>>)[key];
}

/** Only plain values are compared: an object's own `toString` is never called. */
function plainText(value: unknown): string | null {
  return typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean' ? String(value) : null;
}

function membersOf(here: unknown): readonly unknown[] {
  return here !== null && typeof here === 'object' ? Object.values(here) : [];
}

function stepInto(candidates: readonly unknown[], step: PathStep): readonly unknown[] {
  switch (step.kind) {
    case 'key':
      return candidates.map((here) => ownMember(here, step.key)).filter((value) => value !== undefined);
    case 'prefix':
      return candidates.flatMap((here) =>
        here !== null && typeof here === 'object' && !Array.isArray(here)
          ? Object.entries(here).flatMap(([key, value]) => (key.startsWith(step.prefix) ? [value] : []))
          : [],
      );
    case 'where': {
      // A list is searched by its members; an object is asked itself.
      const among = candidates.flatMap((here) => (Array.isArray(here) ? membersOf(here) : [here]));
      return among.filter((here) => plainText(ownMember(here, step.key)) === step.equals);
    }
  }
}

/**
 * The value at a path, or undefined where nothing stands there.
 *
 * Never throws and never reaches inherited members, whatever the document.
 */
export function valueAtPath(document: unknown, path: JsonPath): unknown {
  let candidates: readonly unknown[] = [document];
  for (const step of path) {
    candidates = stepInto(candidates, step);
    if (candidates.length === 0) return undefined;
  }
  return candidates[0];
}
