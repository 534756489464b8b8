import { spawn } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { accepts, freePort, hasCommands } from '../support/machine.ts';
import { waitFor, type Scope } from './scope.ts';

/** What the deployment sets for the way of a message; not where it keeps things, nor who may come. */
function deployedLimits(): string[] {
  const path = join(import.meta.dirname, '..', '..', 'deploy', 'mosquitto', 'mosquitto.conf');
  const limits = /^(?:max_inflight_messages|message_size_limit|set_tcp_nodelay) /;
  const lines = readFileSync(path, 'utf8')
    .split('\n')
    .filter((line) => limits.test(line));
  if (lines.length === 0) throw new Error(`${path} sets no limits`);
  return lines;
}

/** A real mosquitto on a free port, with the limits that the deployment sets; it forgets everything when it ends. */
export async function startMosquitto(scope: Scope): Promise<number> {
  if (!hasCommands('mosquitto'))
    throw new Error('mosquitto is not installed, and nothing can be compared without it');
  const port = await freePort();
  const config = join(scope.tempDir(), 'mosquitto.conf');
  const lines = [
    `listener ${port} 127.0.0.1`,
    'allow_anonymous true',
    'max_queued_messages 0', // a flood is longer than any queue of an evening, and nothing may be dropped
    ...deployedLimits(),
  ];
  writeFileSync(config, lines.join('\n'));
  scope.adopt(spawn('mosquitto', ['-c', config], { stdio: 'ignore' }));
  await waitFor('mosquitto', () => accepts(port));
  return port;
}
