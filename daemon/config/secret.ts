import { existsSync, readFileSync, statSync } from 'node:fs';
import { isAbsolute, join, resolve } from 'node:path';
import { inspect } from 'node:util';
import { type Problem, problem, warning } from '../../lib/problems';
import type { Environment } from './environment';

/** A secret that no log, journal or report can show by accident: it must be asked for by name. */
export interface Secret {
  readonly reveal: () => string;
  readonly toJSON: () => string;
  readonly toString: () => string;
}

export function secretOf(text: string): Secret {
  const hidden = () => '(hidden)';
  const secret = { reveal: () => text, toJSON: hidden, toString: hidden };
  return Object.defineProperty(secret, inspect.custom, { value: hidden });
}

export interface Places {
  /** Folder that relative paths start from. */
  readonly folder: string;
  readonly environment: Environment;
}

/** A file named in the configuration; a bare name is first looked for among the credentials systemd hands over. */
export function placeOf(file: string, places: Places): string {
  const credentials = places.environment.CREDENTIALS_DIRECTORY;
  if (credentials !== undefined && !file.includes('/') && existsSync(join(credentials, file)))
    return join(credentials, file);
  return isAbsolute(file) ? file : resolve(places.folder, file);
}

export interface Found<T> {
  readonly value: T | null;
  readonly problems: readonly Problem[];
}

function unreadable(path: string, file: string, error: unknown): Problem {
  const code = error !== null && typeof error === 'object' && 'code' in error ? String(error.code) : 'unreadable';
  const message = code === 'ENOENT' ? 'there is no such file' : `cannot be read (${code})`;
  return problem(path, file, message, 'Correct the path, or make the file readable for the user the daemon runs as');
}

/**
 * Reads a password from its file.
 *
 * @param path of the field, for problems
 * @param file as configured
 * @returns the secret, without the line end people leave; problems never show the content
 */
export function readSecret(path: string, file: string, places: Places): Found<Secret> {
  const place = placeOf(file, places);
  try {
    const { size, mode } = statSync(place);
    if (size > 4096)
      return {
        value: null,
        problems: [problem(path, file, 'is too large for a password', 'Put the password alone into it')],
      };
    const text = readFileSync(place, 'utf8').replace(/\r?\n$/, '');
    if (text === '') return { value: null, problems: [problem(path, file, 'is empty', 'Put the password into it')] };
    const open =
      (mode & 0o004) !== 0
        ? [warning(path, file, 'can be read by everybody on this machine', `Run chmod 600 ${file}`)]
        : [];
    return { value: secretOf(text), problems: open };
  } catch (error) {
    return { value: null, problems: [unreadable(path, file, error)] };
  }
}

/** Reads a certificate or key in PEM form. */
export function readPem(path: string, file: string, places: Places): Found<string> {
  try {
    const text = readFileSync(placeOf(file, places), 'utf8');
    if (text.includes('-----BEGIN ')) return { value: text, problems: [] };
    return { value: null, problems: [problem(path, file, 'is no PEM file', 'Give a file with -----BEGIN … in it')] };
  } catch (error) {
    return { value: null, problems: [unreadable(path, file, error)] };
  }
}
