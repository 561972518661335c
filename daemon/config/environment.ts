import { type Problem, problem, warning } from '../../lib/problems';

export type Environment = Readonly<Record<string, string | undefined>>;

export interface Override {
  readonly variable: string;
  /** Path of the field it stands for. */
  readonly path: readonly string[];
  readonly form: 'text' | 'number';
  readonly what: string;
}

/** Every environment variable that overrides a field; the reference is made from this table. */
export const overrides: readonly Override[] = [
  { variable: 'MIDDLECUT_DATA', path: ['data'], form: 'text', what: 'folder for the record' },
  { variable: 'MIDDLECUT_GROUP', path: ['group'], form: 'text', what: 'name of what this daemon owns' },
  { variable: 'MIDDLECUT_LOG_LEVEL', path: ['log', 'level'], form: 'text', what: 'trace, debug, info, warn or error' },
  { variable: 'MIDDLECUT_LOG_FORMAT', path: ['log', 'format'], form: 'text', what: 'auto, human or json' },
  { variable: 'MIDDLECUT_LANGUAGE', path: ['language'], form: 'text', what: 'language of reasons and guidance' },
  {
    variable: 'MIDDLECUT_BROKER_URL',
    path: ['broker', 'url'],
    form: 'text',
    what: 'external broker, instead of whatever the file says',
  },
  {
    variable: 'MIDDLECUT_BROKER_USERNAME',
    path: ['broker', 'username'],
    form: 'text',
    what: 'user at the external broker',
  },
  {
    variable: 'MIDDLECUT_BROKER_PASSWORD_FILE',
    path: ['broker', 'passwordFile'],
    form: 'text',
    what: 'file that holds its password',
  },
  {
    variable: 'MIDDLECUT_BROKER_CA_FILE',
    path: ['broker', 'caFile'],
    form: 'text',
    what: 'certificate authority of the external broker',
  },
  {
    variable: 'MIDDLECUT_BROKER_CLIENT_ID',
    path: ['broker', 'clientId'],
    form: 'text',
    what: 'client id at the external broker',
  },
  {
    variable: 'MIDDLECUT_BROKER_HOST',
    path: ['broker', 'embedded', 'host'],
    form: 'text',
    what: 'address the embedded broker listens on',
  },
  {
    variable: 'MIDDLECUT_BROKER_PORT',
    path: ['broker', 'embedded', 'port'],
    form: 'number',
    what: 'port the embedded broker listens on',
  },
  { variable: 'MIDDLECUT_PAGE_HOST', path: ['page', 'host'], form: 'text', what: 'address the page listens on' },
  { variable: 'MIDDLECUT_PAGE_PORT', path: ['page', 'port'], form: 'number', what: 'port the page listens on' },
  {
    variable: 'MIDDLECUT_PAGE_PASSWORD_FILE',
    path: ['page', 'passwordFile'],
    form: 'text',
    what: 'file that holds the password of the page',
  },
];

/** Read elsewhere, so not a spelling mistake here. */
const alsoKnown = ['MIDDLECUT_CONFIG'];

type Document = Readonly<Record<string, unknown>>;

function isDocument(value: unknown): value is Document {
  return value !== null && typeof value === 'object' && !Array.isArray(value);
}

function withField(document: Document, [key = '', ...rest]: readonly string[], value: unknown): Document {
  const inner = Object.hasOwn(document, key) ? document[key] : undefined;
  return { ...document, [key]: rest.length === 0 ? value : withField(isDocument(inner) ? inner : {}, rest, value) };
}

/** An external broker's url takes the place of an embedded one, and the other way round: the schema allows one of them. */
function makeRoom(document: Document, path: readonly string[]): Document {
  if (path[0] !== 'broker' || !isDocument(document.broker)) return document;
  const isEmbedded = Object.hasOwn(document.broker, 'embedded');
  if (path[1] === 'url' && isEmbedded) return { ...document, broker: {} };
  return document;
}

export interface Overridden {
  readonly document: unknown;
  readonly problems: readonly Problem[];
  /** Field paths that came from the environment, with their variable: so that problems can name it. */
  readonly from: ReadonlyMap<string, string>;
}

/**
 * Applies the environment to a configuration as written, before it is checked.
 *
 * @param document as parsed from YAML
 * @param environment usually process.env; an empty variable counts as not set
 */
export function applyEnvironment(document: unknown, environment: Environment): Overridden {
  const from = new Map<string, string>();
  const problems: Problem[] = [];
  const known = new Set([...overrides.map((one) => one.variable), ...alsoKnown]);
  for (const variable of Object.keys(environment)) {
    if (!variable.startsWith('MIDDLECUT_') || known.has(variable)) continue;
    problems.push(warning(variable, undefined, 'is no variable we know', `Known are ${[...known].join(', ')}`));
  }
  if (!isDocument(document)) return { document, problems, from };
  let current: Document = document;
  for (const override of overrides) {
    const text = environment[override.variable];
    if (text === undefined || text === '') continue;
    const value = override.form === 'number' && /^\d+$/.test(text) ? Number(text) : text;
    if (override.form === 'number' && typeof value === 'string') {
      problems.push(problem(override.variable, text, 'is no whole number', 'Give digits only'));
      continue;
    }
    current = withField(makeRoom(current, override.path), override.path, value);
    from.set(override.path.join('.'), override.variable);
  }
  return { document: current, problems, from };
}
