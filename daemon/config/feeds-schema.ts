import { z } from 'zod';
import { lineFormats, payloadFields, registerTypes, valueFields, wordOrders } from '../../lib/wire';

const plainTopic = z
  .string()
  .min(1)
  .max(1024)
  .regex(/^[^+#\0]+$/, 'give one topic, without wildcards');

const { retained: _retained, ...fileFields } = payloadFields;
const { path: _path, unitPath: _unitPath, ...lineFields } = fileFields;

export const availabilitySchema = z
  .union([
    plainTopic,
    z.strictObject({
      topic: plainTopic,
      path: z.string().min(1).max(200).optional().describe('Where the word stands in a JSON payload'),
      online: z
        .string()
        .min(1)
        .max(64)
        .optional()
        .describe("The device's own word for being there, where it is not a usual one"),
      offline: z.string().min(1).max(64).optional().describe("The device's own word for being gone"),
    }),
  ])
  .describe(
    'Topic on which the device says that it is there, usually its last will; while it is gone the reading is bad at once',
  );

export const mqttFeedSchema = z
  .strictObject({
    topic: plainTopic.describe('Where the reading is published'),
    qos: z.union([z.literal(0), z.literal(1)]).default(1),
    availability: availabilitySchema.optional(),
    ...payloadFields,
  })
  .describe('A reading on an MQTT topic');

export const fileFeedSchema = z
  .strictObject({
    path: z.string().min(1).max(4096).describe('File to read again and again, e.g. /sys/bus/w1/devices/28-…/w1_slave'),
    format: z
      .enum(['w1', 'plain'])
      .default('w1')
      .describe('w1: a 1-Wire thermometer file, checked by its bytes; plain: a number or JSON'),
    everyS: z.number().min(0.1).max(3600).default(2).describe('How often'),
    member: payloadFields.path.describe('For plain files that hold JSON: where the value stands'),
    ...lineFields,
    unitPath: payloadFields.unitPath,
  })
  .describe('A reading in a file of the system');

export const serialFeedSchema = z
  .strictObject({
    path: z.string().min(1).max(4096).describe('Serial port, best by /dev/serial/by-id/…'),
    baud: z.number().int().min(50).max(4000000).default(9600),
    format: z.enum(lineFormats).describe('How the lines are written'),
    field: z
      .union([z.string().min(1).max(200), z.number().int().min(0).max(255)])
      .describe('Name, column counted from 0, or JSON path'),
    separator: z.string().min(1).max(4).optional().describe('Between fields; found by itself if left out'),
    columns: z
      .number()
      .int()
      .min(1)
      .max(256)
      .optional()
      .describe('csv: lines with another number of columns are passed over'),
    ...lineFields,
  })
  .describe('A reading in the lines a serial device sends');

const tcpSchema = z.strictObject({
  host: z.string().min(1).max(255),
  port: z.number().int().min(1).max(65535).default(502),
});
const rtuSchema = z.strictObject({
  path: z.string().min(1).max(4096).describe('Serial port of the bus'),
  baud: z.number().int().min(300).max(1000000).default(9600),
  parity: z.enum(['none', 'even', 'odd']).default('none'),
  stopBits: z.union([z.literal(1), z.literal(2)]).default(1),
});

export const modbusFeedSchema = z
  .strictObject({
    connection: z.union([tcpSchema, rtuSchema]).describe('Modbus TCP by host and port, or Modbus RTU by serial port'),
    unitId: z.number().int().min(0).max(255).default(1).describe('Address of the device on the bus'),
    table: z.enum(['holding', 'input', 'coil', 'discrete']).default('holding').describe('Kind of register'),
    address: z.number().int().min(0).max(65535).describe('Counted from 0, as on the wire (40001 in old manuals is 0)'),
    type: z.enum(registerTypes).default('int16').describe('What the registers hold; not for coils'),
    order: z.enum(wordOrders).default('ABCD').describe('Order of the bytes, A the most significant'),
    everyS: z.number().min(0.1).max(3600).default(2).describe('How often'),
    timeoutS: z.number().min(0.05).max(30).default(1).describe('How long to wait for an answer'),
    ...valueFields,
  })
  .describe('A reading in registers of a Modbus device');

/** Where the readings of one point come from: exactly one transport. */
export const feedSchema = z.union([
  z.strictObject({ mqtt: mqttFeedSchema }),
  z.strictObject({ file: fileFeedSchema }),
  z.strictObject({ serial: serialFeedSchema }),
  z.strictObject({ modbus: modbusFeedSchema }),
]);

export type Feed = z.output<typeof feedSchema>;
export type MqttFeed = z.output<typeof mqttFeedSchema>;
export type FileFeed = z.output<typeof fileFeedSchema>;
export type SerialFeed = z.output<typeof serialFeedSchema>;
export type ModbusFeed = z.output<typeof modbusFeedSchema>;
export type ModbusConnection = ModbusFeed['connection'];
export type Availability = z.output<typeof availabilitySchema>;
