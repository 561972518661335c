import { connect } from 'node:net';
import type { Chance } from './garbage';

/** A client's packets as MQTT 3.1.1 wants them (OASIS, chapter 3): what garbage is made of. */
const wellFormed: readonly (readonly number[])[] = [
  [0x10, 13, 0, 4, 0x4d, 0x51, 0x54, 0x54, 4, 2, 0, 10, 0, 1, 0x78],
  [0x82, 8, 0, 1, 0, 3, 0x61, 0x2f, 0x62, 1],
  [0x30, 9, 0, 3, 0x61, 0x2f, 0x62, 0x38, 0x30, 0x2e, 0x31],
  [0x32, 9, 0, 3, 0x61, 0x2f, 0x62, 0, 7, 0x38, 0x30],
  [0x34, 9, 0, 3, 0x61, 0x2f, 0x62, 0, 8, 0x38, 0x30],
  [0x62, 2, 0, 8],
  [0xa2, 7, 0, 2, 0, 3, 0x61, 0x2f, 0x62],
  [0xc0, 0],
  [0xe0, 0],
];

/** A stream of packets with bytes changed, lengths that lie, pieces left out or sent twice; or bytes by chance alone. */
export function rawGarbage(chance: Chance): Buffer {
  const between = (most: number) => Math.floor(chance.uniform() * most);
  if (chance.uniform() < 0.2) return Buffer.from(Array.from({ length: between(300) }, () => between(256)));
  const packets = [wellFormed[0] ?? []];
  for (let more = between(6); more > 0; more -= 1) packets.push(wellFormed[between(wellFormed.length)] ?? []);
  const stream = Buffer.from(packets.flat());
  const changes = between(4);
  for (let change = 0; change < changes; change += 1) {
    // The first bytes of a packet are where a parser decides most.
    const at = chance.uniform() < 0.5 ? between(Math.min(16, stream.length)) : between(stream.length);
    stream[at] = between(256);
  }
  return chance.uniform() < 0.3 ? stream.subarray(0, between(stream.length)) : stream;
}

/** Sends bytes to a port and breaks off in the rudest way. */
export function sendRaw(port: number, bytes: Buffer, lingerMs: number): Promise<void> {
  return new Promise((resolve) => {
    const socket = connect({ host: '127.0.0.1', port }, () => {
      socket.write(bytes);
      setTimeout(() => socket.resetAndDestroy(), lingerMs);
    });
    socket.on('error', () => undefined);
    socket.resume();
    socket.once('close', () => resolve());
  });
}
