import { z } from 'zod';
import { overrides } from './environment';

/** The part of JSON Schema 2020-12 that zod writes. */
interface Schema {
  readonly $ref?: string;
  readonly $defs?: Readonly<Record<string, Schema>>;
  readonly title?: string;
  readonly description?: string;
  readonly type?: string | readonly string[];
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly default?: unknown;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly additionalProperties?: Schema | boolean;
  readonly items?: Schema;
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly minimum?: number;
  readonly maximum?: number;
  readonly exclusiveMinimum?: number;
  readonly exclusiveMaximum?: number;
  readonly minItems?: number;
  readonly maxItems?: number;
}

/** JSON Schema of a document as people write it: defaults may be left out. For editors. */
export function jsonSchemaOf(schema: z.ZodType): string {
  return `${JSON.stringify(z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }), null, 2)}\n`;
}

export const madeFrom = '<!-- Made from the schema; see tests/tools/reference-docs.ts. -->';

interface Section {
  readonly path: string;
  readonly schema: Schema;
}

/** A Markdown table with its columns aligned, as the formatter leaves it. */
export function tableOf(head: readonly string[], rows: readonly (readonly string[])[]): readonly string[] {
  const cells = [head, ...rows].map((row) => row.map(cell));
  const widths = head.map((_, at) => Math.max(3, ...cells.map((row) => row[at]?.length ?? 0)));
  const lines = cells.map((row) => `| ${row.map((text, at) => text.padEnd(widths[at] ?? 0)).join(' | ')} |`);
  return [lines[0] ?? '', `| ${widths.map((width) => '-'.repeat(width)).join(' | ')} |`, ...lines.slice(1)];
}

function cell(text: string): string {
  return text.replaceAll('|', '\\|').replaceAll('\n', ' ');
}

function rangeOf(schema: Schema): string {
  const huge = (limit: number | undefined) => limit === undefined || Math.abs(limit) >= Number.MAX_SAFE_INTEGER;
  const low =
    schema.exclusiveMinimum !== undefined
      ? `above ${schema.exclusiveMinimum}`
      : huge(schema.minimum)
        ? ''
        : `from ${schema.minimum}`;
  const high =
    schema.exclusiveMaximum !== undefined
      ? `below ${schema.exclusiveMaximum}`
      : huge(schema.maximum)
        ? ''
        : `to ${schema.maximum}`;
  return [low, high].filter((part) => part !== '').join(' ');
}

const words: Readonly<Record<string, string>> = {
  number: 'number',
  integer: 'whole number',
  string: 'text',
  boolean: 'true or false',
  null: 'null',
};

/** Whether a schema gets a section of its own. */
function hasFields(schema: Schema): boolean {
  return schema.properties !== undefined;
}

function branchesOf(schema: Schema): readonly Schema[] {
  return (schema.anyOf ?? schema.oneOf ?? []).flatMap((branch) =>
    branch.title === undefined && branch.oneOf !== undefined ? branch.oneOf : [branch],
  );
}

/** What tells a branch from its neighbours: a fixed field (`test: volume`), or the field only it has. */
function nameOfBranch(branch: Schema, at: number): string {
  const fixed = Object.entries(branch.properties ?? {}).find(([, field]) => field.const !== undefined);
  if (fixed !== undefined) return `${fixed[0]}: ${String(fixed[1].const)}`;
  const several = Object.entries(branch.properties ?? {}).find(
    ([key, field]) => field.enum !== undefined && branch.required?.includes(key) && key === 'order',
  );
  if (several !== undefined) return `${several[0]}: ${several[1].enum?.join(', ')}`;
  return branch.required?.[0] ?? Object.keys(branch.properties ?? {})[0] ?? String(at + 1);
}

function referenceName(ref: string): string {
  return ref.replace(/^#\/\$defs\//, '').replace(/^__schema\d+$/, 'Condition');
}

const fieldsBelow = 'fields below';

function listed(alone: string, before: string, inner: string): string {
  return inner === fieldsBelow ? `${alone}, ${fieldsBelow}` : `${before} ${inner}`;
}

function valuesOf(schema: Schema, defs: Readonly<Record<string, Schema>>): string {
  if (schema.$ref !== undefined) {
    const target = defs[schema.$ref.replace('#/$defs/', '')];
    return target?.properties === undefined ? referenceName(schema.$ref) : (target.title ?? referenceName(schema.$ref));
  }
  if (schema.const !== undefined) return `\`${JSON.stringify(schema.const)}\``;
  if (schema.enum !== undefined) return schema.enum.map((one) => `\`${String(one)}\``).join(', ');
  const branches = branchesOf(schema);
  if (branches.length > 0) {
    const only = branches.filter((branch) => branch.type !== 'null');
    if (only.length === 1 && hasFields(only[0] ?? {})) return `${fieldsBelow}, or null`;
    return [
      ...new Set(
        branches.map((branch, at) => (hasFields(branch) ? `\`${nameOfBranch(branch, at)}\`` : valuesOf(branch, defs))),
      ),
    ].join(' or ');
  }
  if (schema.type === 'array')
    return listed('list', 'list of', schema.items === undefined ? 'values' : valuesOf(schema.items, defs));
  if (schema.type === 'object') {
    const member = typeof schema.additionalProperties === 'object' ? schema.additionalProperties : null;
    return member === null ? fieldsBelow : listed('by name', 'by name:', valuesOf(member, defs));
  }
  const types = [schema.type ?? ''].flat().map((type) => words[type] ?? 'any');
  return [types.join(' or '), rangeOf(schema)].filter((part) => part !== '').join(' ');
}

/** Fields inside a field, with their path. */
function innerSections(path: string, schema: Schema): readonly Section[] {
  if (hasFields(schema)) return [{ path, schema }];
  if (schema.items !== undefined) return innerSections(`${path}[]`, schema.items);
  if (typeof schema.additionalProperties === 'object')
    return innerSections(`${path}.<name>`, schema.additionalProperties);
  const branches = branchesOf(schema).filter((branch) => branch.type !== 'null');
  // What may also be null has no neighbours to be told from.
  if (branches.length === 1) return innerSections(path, branches[0] ?? {});
  return branches.flatMap((branch, at) => {
    const own = Object.keys(branch.properties ?? {});
    // A branch that only wraps one member is told by that member's own path.
    if (own.length === 1 && branch.properties?.[own[0] ?? '']?.const === undefined)
      return innerSections(`${path}.${own[0]}`, branch.properties?.[own[0] ?? ''] ?? {});
    return hasFields(branch) ? [{ path: `${path} with ${nameOfBranch(branch, at)}`, schema: branch }] : [];
  });
}

function fieldTable(schema: Schema, defs: Readonly<Record<string, Schema>>): readonly string[] {
  const rows = Object.entries(schema.properties ?? {}).map(([key, field]) => {
    const byDefault = field.default === undefined ? '' : `\`${JSON.stringify(field.default)}\``;
    const missing = schema.required?.includes(key) === true ? 'required' : byDefault;
    return [`\`${key}\``, valuesOf(field, defs), missing, field.description ?? ''];
  });
  return tableOf(['Field', 'Value', 'If left out', 'What'], rows);
}

function sectionLines(section: Section, defs: Readonly<Record<string, Schema>>): readonly string[] {
  const { path, schema } = section;
  const heading = path === '' ? [] : [`## ${path}`, ''];
  const about = path === '' || schema.description === undefined ? [] : [`${schema.description}.`, ''];
  const inner = Object.entries(schema.properties ?? {}).flatMap(([key, field]) =>
    innerSections(path === '' ? key : `${path}.${key}`, field),
  );
  return [...heading, ...about, ...fieldTable(schema, defs), '', ...inner.flatMap((one) => sectionLines(one, defs))];
}

function definitionLines(name: string, schema: Schema, defs: Readonly<Record<string, Schema>>): readonly string[] {
  const branches = branchesOf(schema);
  const lines = branches.flatMap((branch, at) => {
    if (!hasFields(branch)) return [];
    const about = branch.description === undefined ? [] : [`${branch.description}.`, ''];
    return [`### ${nameOfBranch(branch, at)}`, '', ...about, ...fieldTable(branch, defs), ''];
  });
  const heading = name === '' ? [] : [`## ${name}`, ''];
  return [
    ...heading,
    `One of ${branches.map((branch, at) => `\`${nameOfBranch(branch, at)}\``).join(', ')}.`,
    '',
    ...lines,
  ];
}

/**
 * The reference of a document in Markdown, made from its schema: every field with its values, default and meaning.
 *
 * @param intro one paragraph above the first table
 */
export function referenceOf(schema: z.ZodType, intro: string): string {
  const whole = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) as Schema;
  const defs = whole.$defs ?? {};
  const rootName = whole.$ref?.replace('#/$defs/', '') ?? '';
  const root = defs[rootName] ?? whole;
  const others = Object.entries(defs).filter(([name, one]) => name !== rootName && branchesOf(one).length > 0);
  const lines = [
    `# ${root.title ?? 'Reference'}`,
    '',
    madeFrom,
    '',
    intro,
    '',
    ...(hasFields(root) ? sectionLines({ path: '', schema: root }, defs) : definitionLines('', root, defs)),
    ...others.flatMap(([name, one]) => definitionLines(referenceName(name), one, defs)),
  ];
  return `${lines.join('\n').trimEnd()}\n`;
}

/** The environment variables in Markdown. */
export function environmentReference(): string {
  const rows = overrides.map((one) => [`\`${one.variable}\``, `\`${one.path.join('.')}\``, one.what]);
  const table = tableOf(['Variable', 'Field', 'What'], rows);
  return ['## Environment', '', 'A variable that is set overrides the file.', '', ...table, ''].join('\n');
}
