export { canonicalJson, contentHash } from './canonical';
export { sha256, sha256Hex, toHex } from './sha256';
export { decodeUtf8, encodeUtf8 } from './utf8';
