import { z } from 'zod';
import type { Command, DriveValue } from '../engine/types';
import { type Checked, type Problem, problem } from '../problems';
import type { Drive } from '../still/schema';
import type { CommandMessage } from './messages';

const text = z.string().max(4096);
const topic = z
  .string()
  .min(1)
  .max(1024)
  .regex(/^[^+#\0]+$/, 'a topic to publish on has no wildcards');

const template = z
  .union([text.min(1), z.record(z.string(), z.unknown())])
  .describe(
    'Payload with {value}, {percent}, {on}, {token}, {id}, {issuedAt}, {ttlS}, {deadManS} or {reason} in it; text, or an object that becomes JSON',
  );

/** How a command becomes a message that a device understands. */
export const driveFields = {
  topic: topic
    .optional()
    .describe('Where the device takes commands; our own middlecut/<still>/drive/<drive>/set if left out'),
  on: text.min(1).optional().describe('Payload that switches on or opens, e.g. ON'),
  off: text.min(1).optional().describe('Payload that switches off or closes, e.g. OFF'),
  positions: z.record(z.string(), text.min(1)).optional().describe('For a diverter: the payload for each receiver'),
  template: template.optional(),
  repeat: template
    .optional()
    .describe('Another payload for repetitions, which only feed the dead-man of the device; the same if left out'),
  scale: z
    .number()
    .positive()
    .optional()
    .describe('What full stands for in {value}: 100 for per cent, 255 for a byte; 1 if left out'),
  decimals: z.number().int().min(0).max(6).optional().describe('Decimals of {value}; 3 if left out'),
  setup: z
    .array(z.strictObject({ topic, payload: text.describe('As sent') }))
    .max(8)
    .optional()
    .describe('Sent each time the link comes up, e.g. to set the automatic switch-off of the device'),
  reply: z
    .strictObject({
      topic: topic.describe('Where the device answers'),
      idPath: z.string().min(1).max(200).default('id').describe('Where the answer repeats the id of the command'),
      errorPath: z.string().min(1).max(200).default('error').describe('What stands there when the device refused'),
    })
    .optional()
    .describe('Where the device answers commands, if it does'),
};

export const driveMappingSchema = z.strictObject(driveFields);
export type DriveMapping = z.output<typeof driveMappingSchema>;
type Template = string | Readonly<Record<string, unknown>>;

/** What a template may name. */
export const placeholders = [
  'value',
  'percent',
  'on',
  'token',
  'id',
  'issuedAt',
  'ttlS',
  'deadManS',
  'reason',
] as const;
type Placeholder = (typeof placeholders)[number];
type Filling = Readonly<Record<Placeholder, string | number | boolean>>;

/** How a command is written for a drive. */
export type CommandForm = 'own' | 'tokens' | 'template';

export function formOf(mapping: DriveMapping): CommandForm {
  if (mapping.template !== undefined) return 'template';
  return mapping.on !== undefined || mapping.positions !== undefined ? 'tokens' : 'own';
}

const placeholder = new RegExp(`\\{(${placeholders.join('|')})\\}`, 'g');

function placeholdersIn(written: Template): ReadonlySet<string> {
  const all = typeof written === 'string' ? written : JSON.stringify(written);
  return new Set([...all.matchAll(placeholder)].map((found) => found[1] ?? ''));
}

function modulates(drive: Drive): boolean {
  return 'control' in drive && drive.control === 'modulating';
}

function tokenProblems(mapping: DriveMapping, drive: Drive): readonly Problem[] {
  if (drive.kind === 'diverter') {
    const given = Object.keys(mapping.positions ?? {});
    const missing =
      mapping.positions === undefined ? [] : drive.positions.filter((position) => !given.includes(position));
    const strange = given.filter((position) => !drive.positions.includes(position));
    return [
      ...missing.map((position) =>
        problem(`positions.${position}`, undefined, 'is missing', 'Give the payload for this receiver'),
      ),
      ...strange.map((position) =>
        problem(
          `positions.${position}`,
          position,
          'is no position of this diverter',
          `Use ${drive.positions.join(', ')}`,
        ),
      ),
      ...(mapping.on !== undefined || mapping.off !== undefined
        ? [problem('on', mapping.on ?? mapping.off, 'a diverter has positions, not on and off', 'Use positions')]
        : []),
    ];
  }
  if (mapping.positions !== undefined) {
    return [problem('positions', undefined, `a ${drive.kind} has no positions`, 'Use on and off, or a template')];
  }
  const only = mapping.on === undefined ? 'off' : 'on';
  return (mapping.on === undefined) !== (mapping.off === undefined)
    ? [
        problem(
          only === 'on' ? 'off' : 'on',
          undefined,
          'is missing',
          `Say the payload for both; only ${only} stands here`,
        ),
      ]
    : [];
}

function templateProblems(mapping: DriveMapping, drive: Drive): readonly Problem[] {
  const found: Problem[] = [];
  const named = mapping.template === undefined ? null : placeholdersIn(mapping.template);
  const carriesShare = named?.has('value') === true || named?.has('percent') === true;
  if (modulates(drive) && formOf(mapping) !== 'own' && !carriesShare) {
    const remedy = 'Use a template with {value} or {percent}, or say control: on-off in the still';
    found.push(problem('template', mapping.template, `a modulating ${drive.kind} would lose its share`, remedy));
  }
  if (named !== null && !carriesShare && !named.has('on') && !named.has('token')) {
    found.push(
      problem(
        'template',
        mapping.template,
        'says nothing of what is commanded',
        'Put {value}, {percent}, {on} or {token} into it',
      ),
    );
  }
  if (named?.has('token') === true && mapping.on === undefined && mapping.positions === undefined) {
    found.push(
      problem(
        'template',
        mapping.template,
        '{token} needs to know the words',
        'Add on and off, or positions for a diverter',
      ),
    );
  }
  const used = [mapping.template, mapping.repeat].some(
    (one) => one !== undefined && placeholdersIn(one).has('deadManS'),
  );
  if (used && drive.deadManS === undefined) {
    found.push(
      problem('template', mapping.template, '{deadManS} is not known', 'State deadManS of this drive in the still'),
    );
  }
  return found;
}

/** Everything wrong with a mapping for this drive, with paths inside the mapping. */
export function checkDriveMapping(mapping: DriveMapping, drive: Drive): Checked<DriveMapping> {
  const problems = [...tokenProblems(mapping, drive), ...templateProblems(mapping, drive)];
  return problems.length === 0 ? { kind: 'ok', value: mapping, warnings: [] } : { kind: 'bad', problems };
}

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}

function tokenFor(mapping: DriveMapping, value: DriveValue): string {
  if (typeof value === 'string') return mapping.positions?.[value] ?? value;
  return (value > 0 ? mapping.on : mapping.off) ?? '';
}

function fillingOf(mapping: DriveMapping, drive: Drive, message: CommandMessage): Filling {
  const { value } = message;
  const decimals = mapping.decimals ?? 3;
  return {
    value: typeof value === 'number' ? rounded(value * (mapping.scale ?? 1), decimals) : value,
    percent: typeof value === 'number' ? rounded(value * 100, 1) : value,
    on: typeof value === 'number' ? value > 0 : true,
    token: tokenFor(mapping, value),
    id: message.id,
    issuedAt: message.issuedAt,
    ttlS: message.ttlS,
    deadManS: drive.deadManS ?? 0,
    reason: message.reason,
  };
}

/** A member that is one placeholder and nothing else keeps its type: `"{on}"` becomes true, not "true". */
function fillMember(member: unknown, filling: Filling): unknown {
  if (typeof member === 'string') {
    const alone = /^\{(\w+)\}$/.exec(member)?.[1];
    if (alone !== undefined && (placeholders as readonly string[]).includes(alone))
      return filling[alone as Placeholder];
    return member.replace(placeholder, (_, named: Placeholder) => String(filling[named]));
  }
  if (Array.isArray(member)) return member.map((inner) => fillMember(inner, filling));
  if (member === null || typeof member !== 'object') return member;
  return Object.fromEntries(Object.entries(member).map(([key, inner]) => [key, fillMember(inner, filling)]));
}

function fill(written: Template, filling: Filling): string {
  if (typeof written !== 'string') return JSON.stringify(fillMember(written, filling));
  const isJson = /^\s*[{[]/.test(written);
  return written.replace(placeholder, (_, named: Placeholder) => {
    const plain = String(filling[named]);
    // Inside JSON text a reason with a quote in it must not end the string.
    return isJson ? JSON.stringify(plain).slice(1, -1) : plain;
  });
}

/**
 * The payload that tells a device what to do.
 *
 * @param mapping checked by checkDriveMapping
 * @param drive of the still
 * @param message the command with its wall time and its reason in words
 * @param repeat whether it only feeds the dead-man
 */
export function payloadOfCommand(
  mapping: DriveMapping,
  drive: Drive,
  message: CommandMessage,
  repeat: boolean,
): string {
  const filling = fillingOf(mapping, drive, message);
  // A repetition of 'off' is sent in full: a payload made to keep a dead-man fed might say 'on'.
  if (repeat && mapping.repeat !== undefined && message.value !== 0) return fill(mapping.repeat, filling);
  switch (formOf(mapping)) {
    case 'template':
      return fill(mapping.template ?? '', filling);
    case 'tokens':
      return filling.token as string;
    case 'own':
      return JSON.stringify(message);
  }
}

/** A command with the host's wall time and words added. */
export function messageOfCommand(command: Command, issuedAt: string, reason: string): CommandMessage {
  return { id: command.id, value: command.value, issuedAt, ttlS: command.ttlS, reason };
}
