import { parseArgs } from 'node:util';
import { layoutOf, startSite, wiringOf } from './devices';
import { fractionsOf, truthOf } from './model';
import { type ScenarioName, scenarios, specOf } from './scenarios';
import { simulate } from './simulate';

/*
 * A simulated stillhouse as a program of its own, so that a daemon meets it over MQTT and nowhere else:
 *   stillhouse describe SCENARIO                       documents and wiring, as JSON
 *   stillhouse run SCENARIO --broker URL [--speed N] [--seed N]
 *   stillhouse simulate < REQUEST                      a whole run under the engine in virtual time; request and result as JSON
 * When its input closes or it is told to end, it says as JSON what really came of the run.
 */

// Whoever started us may have gone away before all was said.
process.stdout.on('error', () => process.exit(0));

const says = (line: object): void => {
  process.stdout.write(`${JSON.stringify(line)}\n`);
};

function scenarioOf(name: string | undefined) {
  if (name !== undefined && name in scenarios) return scenarios[name as ScenarioName];
  process.stderr.write(`There is no scenario "${name ?? ''}"; use one of ${Object.keys(scenarios).join(', ')}.\n`);
  return process.exit(2);
}

function describe(name: string | undefined): void {
  const scenario = scenarioOf(name);
  const spec = specOf(scenario);
  const { still, recipe, variant } = scenario;
  const { volumeL, strengthAbv } = spec.charge;
  says({ still, recipe, variant, charge: { volumeL, strengthAbv }, wiring: wiringOf(layoutOf(spec)) });
}

async function run(name: string | undefined, brokerUrl: string, speed: number, seed: number): Promise<void> {
  const site = await startSite({ brokerUrl, spec: specOf(scenarioOf(name)), speed, seed });
  says({ ready: true });
  const end = async (): Promise<void> => {
    const { state } = site.site;
    says({ truth: truthOf(state), fractions: fractionsOf(state), skippedS: site.skippedS });
    await site.stop();
    process.exit(0);
  };
  process.stdin.resume();
  process.stdin.once('end', () => void end());
  process.once('SIGTERM', () => void end());
  // Ctrl-C reaches the whole group: whoever started us ends us when it has finished.
  process.on('SIGINT', () => undefined);
}

async function simulateRequest(): Promise<void> {
  let text = '';
  for await (const piece of process.stdin.setEncoding('utf8')) text += String(piece);
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch {
    process.stderr.write('The request on the input is no JSON.\n');
    process.exitCode = 2;
    return;
  }
  const result = simulate(document, says);
  if (result.kind === 'bad') process.exitCode = 1;
  says(
    result.kind === 'bad' ? { problems: result.problems } : { ...result.value, rows: undefined, csv: result.value.csv },
  );
}

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: { broker: { type: 'string' }, speed: { type: 'string' }, seed: { type: 'string' } },
});
const [verb, name] = positionals;
if (verb === 'describe') describe(name);
else if (verb === 'simulate') void simulateRequest();
else if (verb === 'run' && values.broker !== undefined) {
  void run(name, values.broker, Number(values.speed ?? 1), Number(values.seed ?? 1));
} else {
  process.stderr.write(
    'Use: stillhouse describe SCENARIO | stillhouse run SCENARIO --broker URL [--speed N] [--seed N] | stillhouse simulate\n',
  );
  process.exit(2);
}
