import { join } from 'node:path';
import * as z from 'zod/mini';
import { parseConfig } from './config.ts';
import { createLog } from './log.ts';
import { StartRefused } from './start-refused.ts';
import { startServer } from './start.ts';
import { FolderRefused } from './store/refusals.ts';

const BAD_SETTINGS = 2;
const FAILED = 1;

z.config(z.locales.en());

function say(lines: string | readonly string[]): void {
  process.stderr.write(`${[lines].flat().join('\n')}\n`);
}

async function main(): Promise<void> {
  const parsed = parseConfig(process.env);
  if (!parsed.ok) {
    say(['Tongside was not started. Settings that are not right:', ...parsed.problems.map((p) => `  ${p}`)]);
    process.exitCode = BAD_SETTINGS;
    return;
  }
  const { config } = parsed;
  const log = createLog(config.logLevel);
  const webDir = join(import.meta.dirname, '..', 'web');
  const server = await startServer(config, log, webDir).catch((error: unknown) => {
    if (!(error instanceof StartRefused || error instanceof FolderRefused)) throw error;
    say(`Tongside was not started. ${error.message}`);
    process.exit(BAD_SETTINGS);
  });
  const { httpUrl, mqttUrl, dataDir } = server;
  const end = (): void => {
    server.stop().then(
      () => process.exit(),
      (error: unknown) => {
        log.error({ err: error }, 'could not stop in good order');
        process.exit(FAILED);
      },
    );
  };
  process.once('SIGTERM', end);
  process.once('SIGINT', end);
  // last: whoever reads it may end the server at once
  process.stdout.write(`${JSON.stringify({ ready: true, httpUrl, mqttUrl, dataDir })}\n`);
}

main().catch((error: unknown) => {
  say(`Tongside could not start: ${error instanceof Error ? error.message : String(error)}`);
  process.exit(FAILED);
});
