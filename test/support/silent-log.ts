import type { Log } from '../../server/ports.ts';

export const silentLog: Log = { info: () => undefined, warn: () => undefined, error: () => undefined };
