import { createHash } from 'node:crypto';
import { deflateRawSync, inflateRawSync } from 'node:zlib';
import type { Input } from '../../lib/engine/types';
import { encodeInputs, type ReadChunk, readChunk } from '../../lib/record';

/**
 * The chain: each link is SHA-256 over the link before and one line of JSON; the first link before is the genesis, made of
 * the run's header. Chunks link by the digest of their contents, so readings can be dropped and the chain stays whole.
 * It shows a changed record; it does not stop somebody who rewrites all of it: for that, keep the head of a run elsewhere
 * (the report prints it).
 */
const hash = (...parts: readonly (string | Uint8Array)[]): Uint8Array => {
  const sum = createHash('sha256');
  for (const part of parts) sum.update(part);
  return new Uint8Array(sum.digest());
};

const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');

export interface HeaderRow {
  readonly id: string;
  readonly still: string;
  readonly kind: string;
  readonly recipe: string | null;
  readonly variant: string | null;
  readonly recipeHash: string | null;
  readonly startedAtMs: number;
  readonly plant: string;
  readonly initial: string;
  readonly about: string;
}

export function genesisOf(header: HeaderRow): Uint8Array {
  const { id, still, kind, recipe, variant, recipeHash, startedAtMs, plant, initial, about } = header;
  return hash(
    JSON.stringify(['run', id, still, kind, recipe, variant, recipeHash, startedAtMs, plant, initial, about]),
  );
}

/** A closed minute, as it is linked and stored. */
export interface ChunkRow {
  readonly seq: number;
  readonly firstScan: number;
  readonly scans: number;
  readonly readings: number;
  /** Engine time of the first and the last scan [s]; null where the input had none that is a number. */
  readonly fromS: number | null;
  readonly toS: number | null;
  readonly digest: Uint8Array;
  readonly summary: Uint8Array;
  readonly bytes: Uint8Array | null;
}

export function linkChunk(before: Uint8Array, chunk: ChunkRow): Uint8Array {
  const { seq, firstScan, scans, readings, fromS, toS, digest, summary } = chunk;
  return hash(
    before,
    JSON.stringify(['chunk', seq, firstScan, scans, readings, fromS, toS, hex(digest), hex(summary)]),
  );
}

export interface DecisionRow {
  readonly seq: number;
  readonly scan: number;
  readonly kind: string;
  readonly body: string;
}

export function linkDecision(before: Uint8Array, { seq, scan, kind, body }: DecisionRow): Uint8Array {
  return hash(before, JSON.stringify(['decision', seq, scan, kind, body]));
}

/** Digest of what is said of a run when it ends; its `ended` mark carries it into the chain. */
export function endDigest(outcome: string, summary: string): string {
  return hex(hash(JSON.stringify(['end', outcome, summary])));
}

export const sameBytes = (a: Uint8Array, b: Uint8Array): boolean => Buffer.compare(a, b) === 0;

/** A chunk larger than this when inflated is damage, not readings [bytes]. */
const largestChunk = 64 * 1024 * 1024;

/** Inputs deflated, with the digest of the chunk before deflating: a later deflate may be better without breaking the chain. */
export function packInputs(inputs: readonly Input[]): { readonly digest: Uint8Array; readonly bytes: Uint8Array } {
  const chunk = encodeInputs(inputs);
  return { digest: hash(chunk), bytes: new Uint8Array(deflateRawSync(chunk, { level: 9 })) };
}

export function unpackInputs(bytes: Uint8Array, digest: Uint8Array): ReadChunk {
  let chunk: Uint8Array;
  try {
    chunk = inflateRawSync(bytes, { maxOutputLength: largestChunk });
  } catch (error) {
    return {
      kind: 'damaged',
      message: `the chunk cannot be inflated (${error instanceof Error ? error.message : String(error)})`,
    };
  }
  if (!sameBytes(hash(chunk), digest)) return { kind: 'damaged', message: 'the chunk does not agree with its digest' };
  return readChunk(chunk);
}
