import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import { onTestFinished } from 'vitest';

/** A connection that sends what it is told, byte by byte; gone when the test is over. */
export async function rawConnection(port: number): Promise<Socket> {
  const socket = connect(port, '127.0.0.1');
  onTestFinished(() => void socket.destroy());
  socket.on('error', () => undefined); // being thrown out is what such tests are about
  await once(socket, 'connect');
  return socket;
}

/** Resolves with true when the other side ends the connection in time. */
export function isClosed(socket: Socket, withinMs: number): Promise<boolean> {
  if (socket.destroyed) return Promise.resolve(true);
  socket.resume();
  return new Promise((resolve) => {
    const timer = setTimeout(() => resolve(false), withinMs);
    socket.once('close', () => {
      clearTimeout(timer);
      resolve(true);
    });
  });
}
