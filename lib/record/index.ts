export { canonicalJson, contentHash } from './canonical';
export { encodeInputs } from './chunk';
export { decodeInputs, type ReadChunk, readChunk } from './chunk-reading';
export { type Comparison, compareDecisions, type Decision, decisionsOf } from './decision';
export { readExactJson, writeExactJson } from './exact-json';
export { type Folded, foldInputs, type Restarts, type Scan, type Scanned, scanInputs } from './fold';
export { sha256, sha256Hex, toHex } from './sha256';
export { decodeSummaries, encodeSummaries, type PointSummary, summarise } from './summary';
export { decodeUtf8, encodeUtf8 } from './utf8';
