import { z } from 'zod';
import { stillSchema } from '../../lib/still/schema';
import { driveMappingSchema, isTopicFilter, jarStepsSchema } from '../../lib/wire';
import { buttonSchema } from './development-schema';
import { feedSchema } from './feeds-schema';

const identifier = z
  .string()
  .regex(/^[a-z][a-z0-9-]{0,40}$/, 'use lower-case letters, digits and hyphens, a letter first');
const file = z.string().min(1).max(4096);
const port = z.number().int().min(0).max(65535);
const host = z.string().min(1).max(255);
const topicFilter = z.string().refine(isTopicFilter, 'this is no topic filter');

export const roles = ['reader', 'operator', 'device'] as const;
export type Role = (typeof roles)[number];

export const userSchema = z.strictObject({
  passwordFile: file.describe(
    'File that holds the password alone; a bare name is also looked for among the systemd credentials',
  ),
  role: z
    .enum(roles)
    .describe(
      'reader: hears all; operator: also gives orders; device: hears commands, publishes anything but our own topics, and drive states',
    ),
  publish: z.array(topicFilter).max(64).optional().describe('Only these topics instead of those of the role'),
  subscribe: z.array(topicFilter).max(64).optional().describe('Only these topics instead of those of the role'),
});
export type User = z.output<typeof userSchema>;

export const embeddedBrokerSchema = z
  .strictObject({
    host: host.default('127.0.0.1').describe('Address to listen on; anything but loopback needs users'),
    port: port.default(1883),
    users: z
      .record(identifier, userSchema)
      .default({})
      .describe('Who may connect; on loopback anybody if there are none'),
    certFile: file.optional().describe('Certificate for TLS, PEM'),
    keyFile: file.optional().describe('Its key, PEM'),
  })
  .describe('A broker inside the daemon');

export const externalBrokerSchema = z
  .strictObject({
    url: z.string().min(1).max(1024).describe('mqtt://host:1883 or mqtts://host:8883'),
    username: z.string().min(1).max(256).optional(),
    passwordFile: file
      .optional()
      .describe('File that holds the password alone; a bare name is also looked for among the systemd credentials'),
    caFile: file.optional().describe('Certificate authority to trust instead of those of the system, PEM'),
    certFile: file.optional().describe('Our own certificate, PEM, where the broker asks for one'),
    keyFile: file.optional().describe('Its key, PEM'),
    clientId: z
      .string()
      .regex(/^[A-Za-z0-9_-]{1,64}$/, 'use letters, digits, - and _')
      .optional()
      .describe('By the group if left out; two daemons with the same id never run at once, the newer wins'),
  })
  .describe('A broker that is there already');

export const stillEntrySchema = z.strictObject({
  still: z.union([file, stillSchema]).describe('The still document itself, or its file'),
  recipes: z.array(file).max(200).default([]).describe('Recipe files'),
  feeds: z.record(identifier, feedSchema).default({}).describe('Where the readings of each point come from'),
  drives: z
    .record(identifier, z.strictObject({ mqtt: driveMappingSchema }))
    .default({})
    .describe('How each drive is told; `mqtt: {}` is our own form on our own topic'),
  jars: jarStepsSchema.optional(),
  buttons: z.array(buttonSchema).max(16).default([]).describe('Buttons and footswitches'),
  speed: z
    .number()
    .min(0.1)
    .max(1000)
    .default(1)
    .describe('Engine seconds a second; anything but 1 is for simulated stills only'),
});

export const configSchema = z
  .strictObject({
    config: z.literal(1).describe('Version of this document'),
    data: file.default('middlecut-data').describe('Folder for the record; relative to this file'),
    group: identifier
      .optional()
      .describe(
        'Name of what this daemon owns, for its client id and online topic; the still where there is one, else stillhouse',
      ),
    broker: z
      .union([z.strictObject({ embedded: embeddedBrokerSchema }), externalBrokerSchema])
      .prefault({ embedded: {} })
      .describe('A broker of our own, or one that is there already'),
    page: z
      .strictObject({
        enabled: z.boolean().default(true),
        host: host.default('127.0.0.1').describe('Address to listen on; anything but loopback needs a password'),
        port: port.default(8480),
        passwordFile: file.optional().describe('File that holds the password of the page'),
      })
      .prefault({})
      .describe('The page for the stillroom'),
    log: z
      .strictObject({
        level: z.enum(['trace', 'debug', 'info', 'warn', 'error']).default('info'),
        format: z
          .enum(['auto', 'human', 'json'])
          .default('auto')
          .describe('auto: for people on a terminal, JSON otherwise'),
      })
      .prefault({}),
    language: z
      .string()
      .regex(/^[a-z]{2}(-[A-Z]{2})?$/, 'use a language code like en')
      .default('en')
      .describe('Of reasons and guidance'),
    temperatures: z.enum(['C', 'F']).default('C').describe('Unit in which temperatures are shown'),
    stills: z.array(stillEntrySchema).min(1).max(32),
  })
  .meta({ id: 'MiddlecutConfig', title: 'middlecut.yaml: what the daemon runs and how it reaches it' });

export type Config = z.output<typeof configSchema>;
export type StillEntry = z.output<typeof stillEntrySchema>;
export type EmbeddedBroker = z.output<typeof embeddedBrokerSchema>;
export type ExternalBroker = z.output<typeof externalBrokerSchema>;
