import type { Socket } from 'node:net';
import { Duplex } from 'node:stream';
import { createFrameGuard, type GuardOptions, type Oversize } from './frame-guard';

export interface GuardedStreamOptions extends GuardOptions {
  readonly onSkipped: (message: Oversize) => void;
}

function writeAll(socket: Socket, chunks: readonly Buffer[], done: (error?: Error | null) => void): void {
  socket.cork();
  chunks.forEach((chunk, at) => {
    if (at === chunks.length - 1) socket.write(chunk, done);
    else socket.write(chunk);
  });
  socket.uncork();
}

/**
 * A socket whose incoming MQTT frames pass a guard. Writing goes through unchanged; back-pressure works both ways.
 *
 * Small packets leave at once: with Nagle's algorithm a QoS 1 exchange waits for delayed acknowledgements.
 */
export function guardedStream(socket: Socket, options: GuardedStreamOptions): Duplex {
  const guard = createFrameGuard(options);
  socket.setNoDelay(true);
  const stream = new Duplex({
    read: () => socket.resume(),
    write: (chunk: Buffer, _encoding, done) => socket.write(chunk, done),
    writev: (chunks, done) =>
      writeAll(
        socket,
        chunks.map(({ chunk }) => chunk as Buffer),
        done,
      ),
    final: (done) => socket.end(done),
    destroy: (error, done) => {
      socket.destroy();
      done(error);
    },
  });
  socket.on('data', (chunk) => {
    const { pass, answers, skipped, broken } = guard(chunk);
    for (const answer of answers) socket.write(answer);
    for (const message of skipped) options.onSkipped(message);
    if (broken) {
      stream.destroy(new Error('a packet is larger than allowed, or no MQTT'));
      return;
    }
    let wantsMore = true;
    for (const piece of pass) wantsMore = stream.push(piece);
    if (!wantsMore) socket.pause();
  });
  socket.on('end', () => stream.push(null));
  socket.on('error', (error) => stream.destroy(error));
  socket.on('close', () => stream.destroy());
  return stream;
}
