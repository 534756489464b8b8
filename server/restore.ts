import { parseArgs } from 'node:util';
import { runCommand } from './command.ts';
import { restore } from './store/restore.ts';

function parsed(args: string[]): { sourcePath: string; isForced: boolean } | null {
  try {
    const { positionals, values } = parseArgs({
      args,
      allowPositionals: true,
      options: { force: { type: 'boolean' } },
    });
    const [sourcePath, ...rest] = positionals;
    if (sourcePath === undefined || rest.length > 0) return null;
    return { sourcePath, isForced: values.force === true };
  } catch {
    return null; // the only way parseArgs tells of an option that it does not know
  }
}

runCommand('npm run restore -- BACKUP [--force]', (folder, args) => {
  const asked = parsed(args);
  if (!asked) return null;
  const { readings, keptAs, hasMapping } = restore({ ...folder, ...asked, nowMs: Date.now() });
  const kept = keptAs === null ? '' : `; what was there is kept as ${keptAs}`;
  return `Restored ${readings} readings${hasMapping ? ' and the mapping' : ''} to ${folder.dataDir}${kept}`;
});
