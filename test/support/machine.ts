import { execFileSync } from 'node:child_process';
import { once } from 'node:events';
import { connect, createServer } from 'node:net';

export function hasCommands(...names: string[]): boolean {
  try {
    execFileSync('sh', ['-c', names.map((name) => `command -v ${name}`).join(' && ')], { stdio: 'ignore' });
    return true;
  } catch {
    return false; // that is the question
  }
}

export async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  server.close();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return address.port;
}

export function accepts(port: number): Promise<true | null> {
  return new Promise((resolve) => {
    const socket = connect(port, '127.0.0.1');
    socket.once('connect', () => {
      socket.destroy();
      resolve(true);
    });
    socket.once('error', () => resolve(null));
  });
}
