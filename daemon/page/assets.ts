import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { extname, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { send } from './reply';

interface Asset {
  readonly type: string;
  readonly bytes: Uint8Array;
  readonly zipped: Uint8Array;
  readonly tag: string;
}

const types: Readonly<Record<string, string>> = {
  '.css': 'text/css; charset=utf-8',
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.webmanifest': 'application/manifest+json',
};

/** The files of the page, read once: what is not among them does not exist, whatever a path says. */
export type Assets = ReadonlyMap<string, Asset>;

export function loadAssets(named?: string): Assets {
  const folder = named ?? join(__dirname, 'assets');
  const assets = new Map<string, Asset>();
  for (const name of readdirSync(folder)) {
    const type = types[extname(name)];
    if (type === undefined) continue;
    const bytes = readFileSync(join(folder, name));
    const tag = `"${createHash('sha256').update(bytes).digest('base64url').slice(0, 22)}"`;
    assets.set(`/${name}`, { type, bytes, zipped: gzipSync(bytes, { level: 9 }), tag });
  }
  const index = assets.get('/index.html');
  if (index === undefined) throw new Error(`the page is incomplete: there is no index.html in ${folder}`);
  return assets.set('/', index);
}

/** Sends a file of the page; false where there is none of that name. */
export function sendAsset(assets: Assets, path: string, request: IncomingMessage, response: ServerResponse): boolean {
  const asset = assets.get(path);
  if (asset === undefined) return false;
  const headers = { 'Cache-Control': 'no-cache', ETag: asset.tag, Vary: 'Accept-Encoding' };
  if (request.headers['if-none-match'] === asset.tag) {
    send(response, 304, asset.type, '', headers);
    return true;
  }
  const zips = /\bgzip\b/.test(String(request.headers['accept-encoding'] ?? ''));
  if (zips) send(response, 200, asset.type, asset.zipped, { ...headers, 'Content-Encoding': 'gzip' });
  else send(response, 200, asset.type, asset.bytes, headers);
  return true;
}
