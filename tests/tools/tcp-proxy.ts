import { connect, createServer, type Socket } from 'node:net';

/** A wire between a client and a server of a test that can be cut, or go silent as on a frozen machine. */
export interface TcpProxy {
  readonly port: number;
  /** Breaks all connections that are open now. */
  readonly cut: () => void;
  /** Refuses new connections and breaks the open ones, until mend(). */
  readonly sever: () => void;
  readonly mend: () => void;
  /** Passes nothing on any more, but keeps the connections open. */
  readonly freeze: () => void;
  readonly close: () => Promise<void>;
}

export async function startTcpProxy(targetPort: number): Promise<TcpProxy> {
  const pairs = new Set<readonly [Socket, Socket]>();
  let isSevered = false;
  const server = createServer((near) => {
    if (isSevered) {
      near.destroy();
      return;
    }
    const far = connect({ host: '127.0.0.1', port: targetPort });
    const pair = [near, far] as const;
    pairs.add(pair);
    near.setNoDelay(true);
    far.setNoDelay(true);
    near.pipe(far);
    far.pipe(near);
    for (const socket of pair) {
      socket.on('error', () => undefined);
      socket.on('close', () => {
        pairs.delete(pair);
        near.destroy();
        far.destroy();
      });
    }
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  const cut = () => {
    for (const [near, far] of pairs) {
      near.destroy();
      far.destroy();
    }
  };
  return {
    port: address !== null && typeof address === 'object' ? address.port : 0,
    cut,
    sever: () => {
      isSevered = true;
      cut();
    },
    mend: () => {
      isSevered = false;
    },
    freeze: () => {
      for (const [near, far] of pairs) {
        near.unpipe(far);
        far.unpipe(near);
        near.pause();
        far.pause();
      }
    },
    close: async () => {
      cut();
      await new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
}
