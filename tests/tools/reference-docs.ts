/*
 * Writes the references, the JSON Schemas and the alarm handbook that are made from the code. By hand:
 *   node --import ./tests/tools/typescript-hooks.mjs tests/tools/reference-docs.ts
 * tests/unit/config-reference.test.ts fails when one of them is stale.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { environmentReference, jsonSchemaOf, madeFrom, referenceOf, tableOf } from '../../daemon/config/reference';
import { configSchema } from '../../daemon/config/schema';
import { recipeSchema } from '../../lib/recipe/schema';
import { stillSchema } from '../../lib/still/schema';
import { orderSchema } from '../../lib/wire/order';
import { stateSchema } from '../../lib/wire/state-message';
import { topicFacts, topicRoot } from '../../lib/wire/topics';
import { alarmHandbook } from './alarm-handbook';

const configIntro =
  'Unknown fields are errors. `middlecut check FILE` lists all problems at once. Paths are relative to this file. Passwords stand in files of their own, never here.';
const recipeIntro =
  'Unknown fields are errors. Temperatures of the vapour are at the reference pressure and are moved to the air pressure of the moment. `middlecut check FILE` lists all problems at once.';
const stillIntro =
  'Unknown fields are errors. Units are fixed: °C, hPa, L, W, s; strengths and levels are shares from 0 to 1. `middlecut check FILE` lists all problems at once.';

function topicsReference(): string {
  const rows = Object.values(topicFacts).map((fact) => [
    `\`${topicRoot}/<still>/${fact.path}\``,
    fact.direction,
    fact.retained ? 'yes' : 'no',
    String(fact.qos),
    fact.what,
  ]);
  const intro = 'Seen from the daemon. `<still>` is the id of the still; for `online` it is the group.';
  const table = tableOf(['Topic', 'Way', 'Retained', 'QoS', 'What'], rows);
  return ['# Topics', '', madeFrom, '', intro, '', ...table, ''].join('\n');
}

const stateIntro =
  'What `middlecut/<still>/state` says as JSON, and the state output of the Node-RED run node besides its own fields. Fields are only ever added.';

const orderIntro =
  'What may be sent to `middlecut/<still>/order`: JSON, or the bare word of an order that needs no more (`hold`). The answer comes on `middlecut/<still>/order/answer`.';

/** Every generated file with its text. */
export const referenceFiles: Readonly<Record<string, () => string>> = {
  'daemon/config/reference.md': () => `${referenceOf(configSchema, configIntro)}\n${environmentReference()}`,
  'daemon/config/middlecut.schema.json': () => jsonSchemaOf(configSchema),
  'lib/recipe/reference.md': () => referenceOf(recipeSchema, recipeIntro),
  'lib/recipe/recipe.schema.json': () => jsonSchemaOf(recipeSchema),
  'lib/still/reference.md': () => referenceOf(stillSchema, stillIntro),
  'lib/still/still.schema.json': () => jsonSchemaOf(stillSchema),
  'lib/alarms/handbook.md': alarmHandbook,
  'lib/wire/topics.md': topicsReference,
  'lib/wire/state.md': () => referenceOf(stateSchema, stateIntro),
  'lib/wire/orders.md': () => referenceOf(orderSchema, orderIntro),
};

if (process.argv[1]?.endsWith('reference-docs.ts') === true) {
  for (const [file, text] of Object.entries(referenceFiles)) {
    writeFileSync(join(process.cwd(), file), text());
    console.log(`wrote ${file}`);
  }
}
