import type { Db } from './database.ts';

/** About what a group of readings needs: where a single page goes through, the next group may still fail. OURS. */
const PROOF_BYTES = 65_536;

/**
 * A write that is about nothing, to learn whether the store can be written. Its text alternates, because SQLite writes no
 * page when a row is replaced by the same.
 */
export function writeProof(db: Db): () => void {
  const statement = db.prepare<[{ a: string; b: string }]>(
    `INSERT INTO setting (name, value) VALUES ('write-proof', @a)
     ON CONFLICT (name) DO UPDATE SET value = CASE value WHEN @a THEN @b ELSE @a END`,
  );
  const texts = { a: 'a'.repeat(PROOF_BYTES), b: 'b'.repeat(PROOF_BYTES) };
  return () => void statement.run(texts);
}
