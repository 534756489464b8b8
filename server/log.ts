import { pino } from 'pino';
import type { Config } from './config.ts';
import type { Log } from './ports.ts';

const STDERR = 2;

/** Everything but the one ready line goes to stderr. */
export function createLog(level: Config['logLevel']): Log {
  return pino({ level, base: null }, pino.destination({ dest: STDERR, sync: true }));
}
