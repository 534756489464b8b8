/** The data folder cannot be used as it is, and somebody can do something about it. Nothing was changed. */
export class FolderRefused extends Error {}

/** The database file is not what was written. It is left exactly as it is. */
export class DamagedDatabase extends FolderRefused {
  constructor(file: string, found: string) {
    super(
      `${file} is damaged: ${found}. Nothing was changed. To go on from a backup: npm run restore -- BACKUP --force ` +
        '(the damaged file is kept beside the restored one)',
    );
  }
}
