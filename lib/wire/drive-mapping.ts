import { z } from 'zod';
import { type Checked, type Problem, problem, warning } from '../problems';
import type { Drive } from '../still/schema';

const text = z.string().max(4096);
const topic = z
  .string()
  .min(1)
  .max(1024)
  .regex(/^[^+#\0]+$/, 'a topic to publish on has no wildcards');

const written = z.union([text.min(1), z.record(z.string(), z.unknown())]);

/** How a command becomes a message that a device understands. */
export const driveFields = {
  topic: topic
    .optional()
    .describe('Where the device takes commands; our own middlecut/<still>/drive/<drive>/set if left out'),
  on: written.optional().describe('Payload that switches on or opens, e.g. ON; text, or an object that becomes JSON'),
  off: written.optional().describe('Payload that switches off or closes, e.g. OFF'),
  positions: z.record(z.string(), written).optional().describe('For a diverter: the payload for each receiver'),
  template: written
    .optional()
    .describe(
      'One payload for all commands, with {value}, {percent} or {on} in it; see the placeholders in the guide to drives',
    ),
  repeat: written
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
export type Template = string | Readonly<Record<string, unknown>>;

/** What a payload may name; filled in when the command is sent. */
export const placeholders = ['value', 'percent', 'on', 'id', 'issuedAt', 'ttlS', 'deadManS', 'reason'] as const;
export type Placeholder = (typeof placeholders)[number];

/** How a command is written for a drive. */
export type CommandForm = 'own' | 'tokens' | 'template';

export function formOf(mapping: DriveMapping): CommandForm {
  if (mapping.template !== undefined) return 'template';
  return mapping.on !== undefined || mapping.positions !== undefined ? 'tokens' : 'own';
}

export const placeholder = new RegExp(`\\{(${placeholders.join('|')})\\}`, 'g');

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
  const { template } = mapping;
  const named = template === undefined ? null : placeholdersIn(template);
  const found: Problem[] = [];
  const carriesShare = named?.has('value') === true || named?.has('percent') === true;
  if (modulates(drive) && formOf(mapping) !== 'own' && !carriesShare) {
    const remedy = 'Use a template with {value} or {percent}, or say control: on-off in the still';
    found.push(problem('template', template, `a modulating ${drive.kind} would lose its share`, remedy));
  }
  if (named !== null && !carriesShare && !named.has('on')) {
    const remedy = 'Put {value}, {percent} or {on} into it, or use on and off';
    found.push(problem('template', template, 'says nothing of what is commanded', remedy));
  }
  if (template !== undefined && (mapping.on !== undefined || mapping.positions !== undefined)) {
    found.push(problem('template', template, 'stands beside on, off or positions', 'Use one of the two'));
  }
  if (drive.deadManS === undefined && writtenIn(mapping).some((one) => placeholdersIn(one).has('deadManS'))) {
    found.push(problem('', undefined, '{deadManS} is not known', 'State deadManS of this drive in the still'));
  }
  return found;
}

function writtenIn(mapping: DriveMapping): readonly Template[] {
  const all = [mapping.on, mapping.off, mapping.template, mapping.repeat, ...Object.values(mapping.positions ?? {})];
  return all.filter((one) => one !== undefined);
}

/**
 * A device that flips back after a time takes it both ways: said together with 'off' it would switch on again. So the time must not stand
 * where it goes out with off.
 */
function flipBackWarning(mapping: DriveMapping): readonly Problem[] {
  const field = (['template', 'off'] as const).find((one) => {
    const payload = mapping[one];
    return payload !== undefined && placeholdersIn(payload).has('deadManS');
  });
  if (field === undefined) return [];
  const message = 'sends the time of the dead-man with off as well: some devices then switch on again after it';
  const remedy =
    'Use on and off, and put {deadManS} into on alone, unless the device is known to take the time for on only';
  return [warning(field, mapping[field], message, remedy)];
}

/** Everything wrong with a mapping for this drive, with paths inside the mapping. */
export function checkDriveMapping(mapping: DriveMapping, drive: Drive): Checked<DriveMapping> {
  const problems = [...tokenProblems(mapping, drive), ...templateProblems(mapping, drive)];
  return problems.length === 0
    ? { kind: 'ok', value: mapping, warnings: flipBackWarning(mapping) }
    : { kind: 'bad', problems };
}
