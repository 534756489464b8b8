import process from 'node:process';
import { runSession } from './session.ts';
import { parseSettings } from './settings.ts';

const BAD_USAGE = 2;

function tell(message: string): void {
  process.stderr.write(`simulator: ${message}\n`);
}

async function main(): Promise<number> {
  const parsed = parseSettings(process.argv.slice(2));
  if (!parsed.ok) {
    tell(parsed.message);
    return BAD_USAGE;
  }
  const stopping = new AbortController();
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => stopping.abort());
  try {
    const isDelivered = await runSession(parsed.settings, stopping.signal, tell);
    return isDelivered || stopping.signal.aborted ? 0 : 1;
  } catch (error) {
    tell(error instanceof Error ? error.message : String(error));
    return stopping.signal.aborted ? 0 : 1;
  }
}

process.exitCode = await main();
