import type * as z from 'zod/mini';
import { PASSPHRASE_MIN, PassphraseSchema } from '../../server/contract/api.ts';
import { check } from '../form/check.ts';
import type { Checked } from '../form/check.ts';

export type PassphraseDraft = { passphrase: string; again: string };

/** Typed twice, because nobody can see what was typed. */
export function checkPassphrase({
  passphrase,
  again,
}: PassphraseDraft): Checked<z.infer<typeof PassphraseSchema>> {
  const checked = check({
    schema: PassphraseSchema,
    candidate: { passphrase },
    messages: { passphrase: `It needs ${String(PASSPHRASE_MIN)} to 200 letters.` },
  });
  if (!checked.ok || passphrase === again) return checked;
  return { ok: false, errors: { again: 'This is not the same. Type both once more.' } };
}
