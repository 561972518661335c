import { dirname, relative, resolve } from 'node:path';
import { type Checked, type Problem, parseDocument, problem } from '../../lib/problems';
import { checkRecipe } from '../../lib/recipe/check';
import type { Recipe } from '../../lib/recipe/schema';
import { checkStill } from '../../lib/still/check';
import type { Still } from '../../lib/still/schema';
import { type LoadedBroker, loadBroker } from './broker-secrets';
import { applyEnvironment, type Environment } from './environment';
import type { Feed } from './feeds-schema';
import { checkNetwork } from './network-checks';
import { type Located, type ReadDocument, readDocumentFile } from './read-document';
import { type Config, configSchema, type StillEntry } from './schema';
import { type Places, placeOf, readSecret, type Secret } from './secret';
import { checkStillEntry, checkTogether } from './still-checks';

export interface LoadedRecipe {
  readonly file: string;
  readonly recipe: Recipe;
}

export interface LoadedStill {
  readonly still: Still;
  readonly recipes: readonly LoadedRecipe[];
  readonly feeds: Readonly<Record<string, Feed>>;
  readonly drives: StillEntry['drives'];
  readonly jars: StillEntry['jars'];
  readonly buttons: StillEntry['buttons'];
  readonly speed: number;
}

/** A configuration ready to be run: files read, secrets in hand, everything checked together. */
export interface LoadedConfig {
  readonly file: string;
  readonly dataFolder: string;
  readonly group: string;
  readonly broker: LoadedBroker;
  readonly page: Omit<Config['page'], 'passwordFile'> & { readonly password: Secret | null };
  readonly log: Config['log'];
  readonly language: string;
  readonly temperatures: 'C' | 'F';
  readonly stills: readonly LoadedStill[];
}

export type LoadedResult =
  | { readonly kind: 'ok'; readonly value: LoadedConfig; readonly warnings: readonly Located[] }
  | { readonly kind: 'bad'; readonly problems: readonly Located[] };

/** Collects problems of the configuration and of the files it names, each with its own file and line. */
interface Collector {
  readonly add: (problems: readonly Problem[], document?: ReadDocument) => void;
  readonly addLocated: (problems: readonly Located[]) => void;
  readonly all: () => readonly Located[];
}

function collectorFor(config: ReadDocument): Collector {
  const found: Located[] = [];
  return {
    add: (problems, document = config) => found.push(...problems.map(withoutObjects).map(document.locate)),
    addLocated: (problems) => found.push(...problems),
    all: () => found,
  };
}

function take<T>(checked: Checked<T>, collector: Collector, document?: ReadDocument, base = ''): T | null {
  const problems = checked.kind === 'ok' ? checked.warnings : checked.problems;
  const moved =
    base === '' ? problems : problems.map((p) => ({ ...p, path: p.path === '' ? base : `${base}.${p.path}` }));
  collector.add(moved, document);
  return checked.kind === 'ok' ? checked.value : null;
}

function shortName(file: string): string {
  const short = relative(process.cwd(), file);
  return short.startsWith('..') ? file : short;
}

/** Reads a file the configuration names; a missing one is a problem of the line that names it. */
function readNamed(file: string, path: string, places: Places, collector: Collector): ReadDocument | null {
  const read = readDocumentFile(placeOf(file, places));
  if (read.kind === 'ok') return read;
  const [first] = read.problems;
  if (read.problems.length === 1 && first?.line === undefined) {
    collector.add([problem(path, file, first?.message ?? 'cannot be read', first?.remedy ?? 'Correct the path')]);
  } else {
    collector.addLocated(read.problems.map((p) => ({ ...p, file: shortName(p.file) })));
  }
  return null;
}

function loadStill(entry: StillEntry, base: string, places: Places, collector: Collector): Still | null {
  if (typeof entry.still !== 'string') return take(checkStill(entry.still), collector, undefined, `${base}.still`);
  const read = readNamed(entry.still, `${base}.still`, places, collector);
  return read === null ? null : take(checkStill(read.document), collector, named(read));
}

function named(read: ReadDocument): ReadDocument {
  return {
    document: read.document,
    locate: (p) => {
      const located = read.locate(p);
      return { ...located, file: shortName(located.file) };
    },
  };
}

function loadRecipes(entry: StillEntry, base: string, places: Places, collector: Collector): readonly LoadedRecipe[] {
  const recipes = entry.recipes.flatMap((file, at) => {
    const read = readNamed(file, `${base}.recipes.${at}`, places, collector);
    const recipe = read === null ? null : take(checkRecipe(read.document), collector, named(read));
    return recipe === null ? [] : [{ file: placeOf(file, places), recipe }];
  });
  const names = recipes.map(({ recipe }) => recipe.name);
  names.forEach((name, at) => {
    if (names.indexOf(name) !== at)
      collector.add([problem(`${base}.recipes`, name, 'is the name of two recipes', 'Rename one of them')]);
  });
  return recipes;
}

function loadStills(config: Config, places: Places, collector: Collector): readonly LoadedStill[] {
  const loaded = config.stills.map((entry, at) => {
    const base = `stills.${at}`;
    const still = loadStill(entry, base, places, collector);
    const recipes = loadRecipes(entry, base, places, collector);
    if (still !== null) collector.add(checkStillEntry(entry, still, base));
    return { entry, still, base, recipes };
  });
  collector.add(checkTogether(loaded));
  return loaded.flatMap(({ entry, still, recipes }) =>
    still === null
      ? []
      : [
          {
            still,
            recipes,
            feeds: entry.feeds,
            drives: entry.drives,
            jars: entry.jars,
            buttons: entry.buttons,
            speed: entry.speed,
          },
        ],
  );
}

/** An object as a value tells little and may hold a password somebody wrote where none belongs. */
function withoutObjects(p: Problem): Problem {
  if (p.value?.startsWith('{') !== true) return p;
  const { value: _value, ...rest } = p;
  return rest;
}

/** Says which variable a problem came from, where the environment set the field. */
function withVariables(problems: readonly Problem[], from: ReadonlyMap<string, string>): readonly Problem[] {
  return problems.map((p) => {
    const variable = from.get(p.path);
    return variable === undefined ? p : { ...p, message: `${p.message} (set by ${variable})` };
  });
}

function assemble(config: Config, file: string, places: Places, collector: Collector): LoadedConfig | null {
  const stills = loadStills(config, places, collector);
  const only = stills.length === 1 ? stills[0]?.still.id : undefined;
  const group = config.group ?? only ?? 'stillhouse';
  const broker = loadBroker(config.broker, group, places);
  const password =
    config.page.passwordFile === undefined ? null : readSecret('page.passwordFile', config.page.passwordFile, places);
  collector.add([...checkNetwork(config), ...broker.problems, ...(password?.problems ?? [])]);
  if (broker.value === null) return null;
  const { passwordFile: _passwordFile, ...page } = config.page;
  return {
    file,
    dataFolder: resolve(places.folder, config.data),
    group,
    broker: broker.value,
    page: { ...page, password: password?.value ?? null },
    log: config.log,
    language: config.language,
    temperatures: config.temperatures,
    stills,
  };
}

/**
 * Checks a configuration that has been read, with every file it names.
 *
 * @param read the document
 * @param file its path: relative paths start from its folder
 */
export function loadDocument(read: ReadDocument, file: string, environment: Environment): LoadedResult {
  const collector = collectorFor(named(read));
  const places: Places = { folder: dirname(resolve(file)), environment };
  const overridden = applyEnvironment(read.document, environment);
  collector.add(overridden.problems);
  const parsed = parseDocument(configSchema, overridden.document);
  const loaded = parsed.kind === 'ok' ? assemble(parsed.value, file, places, collector) : null;
  if (parsed.kind === 'bad') collector.add(parsed.problems);
  const all = collector.all().map((p) => ({ ...p, ...withVariables([p], overridden.from)[0] }));
  const isBad = loaded === null || all.some((p) => p.severity === 'error');
  return isBad ? { kind: 'bad', problems: all } : { kind: 'ok', value: loaded, warnings: all };
}

/**
 * Loads `middlecut.yaml` with the stills, recipes and secrets it names.
 *
 * @param file path of the configuration
 * @param environment usually process.env
 * @returns the configuration with its warnings, or all problems at once, each with file, line, path, value and remedy; never throws
 */
export function loadConfig(file: string, environment: Environment): LoadedResult {
  const read = readDocumentFile(file);
  return read.kind === 'ok' ? loadDocument(read, file, environment) : read;
}
