import { join } from 'node:path';
import * as z from 'zod/mini';
import { parseConfig } from './config.ts';
import { FolderRefused } from './store/refusals.ts';

const FAILED = 1;
const BAD_USE = 2;

export type Folder = { dataDir: string; mappingPath: string };

function complain(text: string, exitCode: number): void {
  process.stderr.write(`${text}\n`);
  process.exitCode = exitCode;
}

/**
 * Runs a command on the data folder that the settings name: one line to stdout and exit code 0, or why not and 1
 * (2 when it was not called rightly).
 */
export function runCommand(usage: string, work: (folder: Folder, args: string[]) => string | null): void {
  z.config(z.locales.en());
  const parsed = parseConfig(process.env);
  if (!parsed.ok) {
    complain(['Settings that are not right:', ...parsed.problems.map((p) => `  ${p}`)].join('\n'), BAD_USE);
    return;
  }
  const { dataDir, mappingPath } = parsed.config;
  try {
    const said = work(
      { dataDir, mappingPath: mappingPath ?? join(dataDir, 'mapping.json') },
      process.argv.slice(2),
    );
    if (said === null) complain(`Usage: ${usage}`, BAD_USE);
    else process.stdout.write(`${said}\n`);
  } catch (error: unknown) {
    const why = error instanceof Error ? error.message : String(error);
    complain(error instanceof FolderRefused ? `Not done. ${why}` : `It failed: ${why}`, FAILED);
  }
}
