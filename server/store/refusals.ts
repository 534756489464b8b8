/** The data folder cannot be used as it is, and somebody can do something about it. Nothing was changed. */
export class FolderRefused extends Error {}

/** OURS: enough to tell kinds of damage apart; the rest helps nobody who stands at a grill. */
const SHOWN = 100;
const WHAT_TO_DO = {
  database:
    'To go on from a backup: npm run restore -- BACKUP --force (the damaged file is kept beside the restored one)',
  backup: 'This backup cannot be used: take an older one, or another copy of it',
};

/** The database file, or a backup, is not what was written. It is left exactly as it is. */
export class DamagedDatabase extends FolderRefused {
  constructor(file: string, found: string, as: keyof typeof WHAT_TO_DO) {
    super(`${file} is damaged. Nothing was changed. ${WHAT_TO_DO[as]}. Found: ${firstOf(found)}`);
  }
}

/** The first thing of many; the check begins its list with a headline in asterisks. */
function firstOf(found: string): string {
  const lines = found.split('\n').map((line) => line.trim());
  const [first = '', ...others] = lines.filter((line) => line !== '' && !line.startsWith('***'));
  const cut = first.length > SHOWN ? `${first.slice(0, SHOWN)}…` : first;
  return others.length === 0 ? cut : `${cut} (and ${others.length} more)`;
}
