import { FoodTempCSchema } from '../../../server/contract/text.ts';

export const DIGITS = ['1', '2', '3', '4', '5', '6', '7', '8', '9'] as const;
export type Key = (typeof DIGITS)[number] | '0' | '.' | 'delete' | '+' | '-';

const MOST_LETTERS = 6;

/** What is typed after a key. + and - change it by one degree, so that no slider is needed. Pure. */
export function keyed(typed: string, key: Key): string {
  switch (key) {
    case 'delete':
      return typed.slice(0, -1);
    case '+':
      return stepped(typed, 1);
    case '-':
      return stepped(typed, -1);
    case '.':
      return typed.includes('.') || typed.length >= MOST_LETTERS ? typed : `${typed === '' ? '0' : typed}.`;
    default:
      return typed.length >= MOST_LETTERS || /\.\d$/.test(typed)
        ? typed
        : `${typed === '0' ? '' : typed}${key}`;
  }
}

function stepped(typed: string, byC: number): string {
  const value = typed === '' ? 0 : Number(typed);
  return String(Math.round((value + byC) * 10) / 10);
}

/** The typed temperature, degC; null when it is none or none that food can have. */
export function typedTempC(typed: string): number | null {
  if (!/\d/.test(typed)) return null;
  const parsed = FoodTempCSchema.safeParse(Number(typed));
  return parsed.success ? parsed.data : null;
}
