import { z } from 'zod';

/** What a point measures; the unit inside is fixed by the kind. */
export const pointKinds = {
  'vapour-temp': {
    unit: 'C',
    min: -10,
    max: 120,
    staleAfterS: 15,
    what: 'vapour temperature at the head of the still',
  },
  'boiler-temp': { unit: 'C', min: -10, max: 130, staleAfterS: 15, what: 'temperature of the liquid in the boiler' },
  'element-temp': { unit: 'C', min: -10, max: 400, staleAfterS: 15, what: 'skin of the heating element or boiler' },
  'product-temp': { unit: 'C', min: -10, max: 100, staleAfterS: 30, what: 'distillate leaving the condenser' },
  'coolant-in-temp': { unit: 'C', min: -10, max: 100, staleAfterS: 60, what: 'coolant entering the condenser' },
  'coolant-out-temp': { unit: 'C', min: -10, max: 100, staleAfterS: 60, what: 'coolant leaving the condenser' },
  'room-temp': { unit: 'C', min: -40, max: 60, staleAfterS: 600, what: 'air of the stillroom' },
  'parrot-temp': { unit: 'C', min: -10, max: 60, staleAfterS: 30, what: 'distillate in the parrot' },
  'air-pressure': { unit: 'hPa', min: 500, max: 1100, staleAfterS: 900, what: 'station air pressure' },
  'boiler-pressure': { unit: 'hPa', min: -1100, max: 3000, staleAfterS: 15, what: 'boiler pressure above the air' },
  'boiler-level': { unit: 'fraction', min: 0, max: 1.05, staleAfterS: 60, what: 'liquid level in the boiler, 1 full' },
  'coolant-flow': { unit: 'L/h', min: 0, max: 100000, staleAfterS: 20, what: 'coolant flow' },
  'product-flow': { unit: 'L/h', min: 0, max: 10000, staleAfterS: 30, what: 'distillate flow at the spout' },
  'collected-volume': { unit: 'L', min: 0, max: 100000, staleAfterS: 60, what: 'distillate collected since the start' },
  'receiver-volume': { unit: 'L', min: 0, max: 100000, staleAfterS: 60, what: 'volume in one receiver' },
  'parrot-strength': { unit: 'fraction', min: 0, max: 1, staleAfterS: 60, what: 'strength read in the parrot' },
  'heat-power': { unit: 'W', min: -50, max: 1e6, staleAfterS: 20, what: 'power drawn by the heat source' },
  'vapour-gas': {
    unit: 'fraction',
    min: 0,
    max: 10,
    staleAfterS: 30,
    what: 'ethanol vapour in the room, share of LEL',
  },
  'drive-state': {
    unit: 'state',
    min: -1,
    max: 64,
    staleAfterS: 60,
    what: 'state a drive reports: 0 off or closed, 1 on or open',
  },
  attendance: { unit: 'state', min: 0, max: 1, staleAfterS: 3600, what: 'somebody at the still (button, footswitch)' },
} as const;

export type PointKind = keyof typeof pointKinds;
const pointKindNames = Object.keys(pointKinds) as [PointKind, ...PointKind[]];

const identifier = z
  .string()
  .regex(/^[a-z][a-z0-9-]{0,40}$/, 'use lower-case letters, digits and hyphens, a letter first');
const positive = z.number().positive();
const seconds = z.number().min(0).max(1e6);

export const calibrationSchema = z
  .strictObject({
    offset: z.number().default(0).describe('Added after the gain, in the unit of the point'),
    gain: z.number().min(0.8).max(1.25).default(1).describe('Multiplies the raw reading'),
    uncertainty: z.number().min(0).default(0).describe('Standard uncertainty of the corrected reading'),
    doneOn: z.string().optional().describe('Date of the calibration'),
  })
  .describe('Corrected reading = gain × raw + offset');

export const pointSchema = z.strictObject({
  kind: z.enum(pointKindNames).describe('What is measured here'),
  min: z.number().optional().describe('Lowest believable reading; by kind if left out'),
  max: z.number().optional().describe('Highest believable reading; by kind if left out'),
  staleAfterS: positive.optional().describe('A reading older than this is stale; by kind if left out'),
  resolution: positive.optional().describe('Smallest step of the reading (0.0625 for a 12-bit digital thermometer)'),
  accuracy: positive.optional().describe('Uncertainty of the probe, for sharpness and probe checks'),
  maxStepPerS: positive.optional().describe('A faster change than this is a jump and not believed until it lasts'),
  calibration: calibrationSchema.optional(),
  receiver: identifier.optional().describe('For receiver-volume: which receiver'),
  drive: identifier.optional().describe('For drive-state and heat-power: which drive'),
});
export type Point = z.output<typeof pointSchema>;

const common = {
  reported: identifier.optional().describe('Point of kind drive-state that reports what the drive really did'),
  deadManS: positive
    .optional()
    .describe('The device switches itself to its safe position this long after the last command'),
  answerS: positive.default(5).describe('How long the drive and its report may take to follow a command, travel aside'),
  ttlS: positive.default(10).describe('A command older than this must not be carried out'),
  inZone: z
    .boolean()
    .optional()
    .describe(
      'Stands where vapour can gather and is not rated for it: not switched during a vapour leak. Left out: true for valves and take-off',
    ),
};

export const heatSources = { element: 10, steam: 900, gas: 60, 'solid-fire': 3600 } as const;

export const heatSchema = z.strictObject({
  kind: z.literal('heat'),
  source: z
    .enum(['element', 'steam', 'gas', 'solid-fire'])
    .default('element')
    .describe('Gas only through a certified burner control'),
  ratedW: positive.describe('Heat at full power'),
  control: z.enum(['on-off', 'modulating']).default('modulating'),
  runOnS: seconds.optional().describe('How long vapour keeps coming after heat off; by source if left out'),
  ...common,
});
export const coolantSchema = z.strictObject({
  kind: z.literal('coolant'),
  control: z.enum(['on-off', 'modulating']).default('on-off'),
  failPosition: z.enum(['on', 'off', 'stay']).default('on').describe('What it does without power or signal'),
  ...common,
});
export const receiverValveSchema = z.strictObject({
  kind: z.literal('receiver-valve'),
  receiver: identifier.describe('The receiver this valve opens'),
  failPosition: z.enum(['open', 'closed', 'stay']).default('closed'),
  travelS: seconds.default(5).describe('Time the valve takes to open or close'),
  ...common,
});
export const diverterSchema = z.strictObject({
  kind: z.literal('diverter'),
  positions: z.array(identifier).min(2).describe('Receivers in the order of its positions'),
  travelS: seconds.default(5),
  ...common,
});
export const takeOffSchema = z.strictObject({
  kind: z.literal('take-off'),
  control: z.enum(['on-off', 'modulating']).default('modulating'),
  maxLPerH: positive.optional().describe('Take-off at full opening'),
  ...common,
});
export const contactorSchema = z.strictObject({
  kind: z.literal('contactor').describe('A second contactor in series with the heat: opened when heat will not stop'),
  ...common,
});
export const driveSchema = z.discriminatedUnion('kind', [
  heatSchema,
  coolantSchema,
  receiverValveSchema,
  diverterSchema,
  takeOffSchema,
  contactorSchema,
]);
export type Drive = z.output<typeof driveSchema>;
export type HeatDrive = z.output<typeof heatSchema>;

export const receiverSchema = z.strictObject({
  capacityL: positive.describe('What it holds'),
  takes: z
    .array(z.enum(['foreshots', 'heads', 'hearts', 'tails']))
    .min(1)
    .describe('Fractions that belong in it'),
  overflowTo: identifier.optional().describe('Where to go when it is full'),
});
export type Receiver = z.output<typeof receiverSchema>;

export const stillSchema = z
  .strictObject({
    still: z.literal(1).describe('Version of this document'),
    id: identifier.describe('Short name, used in topics'),
    name: z.string().min(1).max(80).describe('Name for people'),
    kind: z.enum(['pot', 'column']),
    boilerVolumeL: positive.describe('Working volume of the boiler'),
    heelL: positive.describe('Liquid that must remain over the element or base'),
    altitudeM: z
      .number()
      .min(-400)
      .max(5500)
      .optional()
      .describe('Height above sea level: to catch sea-level-reduced pressure'),
    assumeAltitudePressure: z
      .boolean()
      .default(false)
      .describe('Cut by the standard atmosphere of the altitude where no barometer has ever been heard'),
    points: z.record(identifier, pointSchema),
    drives: z.record(identifier, driveSchema).default({}),
    receivers: z.record(identifier, receiverSchema).default({}),
    ratings: z
      .strictObject({
        vapourTempMaxC: z.number().min(60).max(150).default(102),
        boilerTempMaxC: z.number().min(60).max(200).default(108),
        elementTempMaxC: z.number().min(90).max(400).default(150),
        elementTempAlarmC: z
          .number()
          .min(80)
          .max(400)
          .default(130)
          .describe('Skin temperature at which a charge scorches'),
        elementOverLiquidMaxK: positive
          .default(40)
          .describe('How much hotter than its liquid a covered element can be'),
        boilerPressureMaxHPa: positive.default(70),
        vacuumMaxHPa: positive.default(20).describe('How far below the air the boiler may come'),
        vapourGasMaxShare: z
          .number()
          .min(0.02)
          .max(0.25)
          .default(0.2)
          .describe('Vapour in the room at which the heat goes off, as a share of the lower explosive limit'),
        productTempAlarmC: z.number().min(15).max(60).default(30),
        productTempTripC: z.number().min(20).max(70).default(40),
        coolantFlowMinLPerH: positive.optional(),
      })
      .prefault({}),
    boilUp: z
      .strictObject({
        efficiency: z.number().min(0.2).max(1).default(0.92).describe('Share of the heat that reaches the liquid'),
        lossW: z.number().min(0).default(150).describe('Heat lost from the hot still'),
        refluxShare: z
          .number()
          .min(0)
          .max(0.98)
          .default(0.1)
          .describe('Share of the vapour that runs back before the spout'),
      })
      .prefault({})
      .describe('For estimates of volume where nothing measures it'),
    spout: z
      .strictObject({
        holdUpL: z
          .number()
          .min(0)
          .default(0)
          .describe('Liquid between probe and spout: delays the receiver by that volume'),
        parrotL: z.number().min(0).default(0).describe('Liquid in the parrot: its strength lags behind by that volume'),
        transitS: seconds.default(0).describe('Delay where no flow is known'),
      })
      .prefault({}),
    vent: z
      .strictObject({
        unvalved: z.boolean().default(false).describe('There is an open vapour path that no valve can close'),
        feintsPathFailsOpen: z.boolean().default(false).describe('A receiver path for feints opens without power'),
      })
      .prefault({}),
    scanLateS: positive
      .default(5)
      .describe('Alarm when a scan comes this long after the one before: every protection is as late'),
    graceS: seconds.default(60).describe('How long a probe the recipe needs may be lost before the run is held'),
    undoWithinS: seconds.default(120).describe('How long after a cut it may be undone'),
    runMaxS: positive.default(43200).describe('Alarm when a run lasts longer'),
    attendanceS: positive.optional().describe('Somebody must answer at least this often while hot'),
    remoteOrders: z
      .boolean()
      .default(false)
      .describe('Orders from elsewhere may also make things less safe (start, resume)'),
  })
  .meta({ id: 'MiddlecutStill', title: 'A still: its points, drives, receivers and ratings' });

export type Still = z.output<typeof stillSchema>;
export type StillDocument = z.input<typeof stillSchema>;
