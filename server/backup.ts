import { runCommand } from './command.ts';
import { backUp } from './store/backup.ts';

const BYTES_PER_MB = 1_000_000;

runCommand('npm run backup -- DEST (the name of a new file)', ({ dataDir, mappingPath }, args) => {
  const [destPath, ...rest] = args;
  if (destPath === undefined || destPath.startsWith('-') || rest.length > 0) return null;
  const { bytes, readings, hasMapping } = backUp({ dataDir, destPath, mappingPath });
  const size = (bytes / BYTES_PER_MB).toFixed(1);
  return `Backed up to ${destPath}: ${readings} readings${hasMapping ? ', the mapping' : ''}, ${size} MB, checked`;
});
