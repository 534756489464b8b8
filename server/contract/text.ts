import * as z from 'zod/mini';

export const LONG_TEXT_MAX = 400;
export const NAME_MAX = 60;
/** What a row can show at one metre without shrinking; look of the live screen. */
export const SHORT_NAME_MAX = 10;

export const IdSchema = z.string().check(z.regex(/^[a-z0-9-]{1,64}$/, 'must be an id: a-z, 0-9 and -'));
/** No control characters, no line ends, no halves of a character: what every screen can show in a line. */
export const oneLine = z.regex(
  /^[^\p{Cc}\p{Zl}\p{Zp}\p{Cs}]*$/u,
  'must be one line of text without control characters',
);
const NOT_SHOWN = /[\p{Cc}\p{Zl}\p{Zp}\p{Cs}]/gu;
/** The same text with a mark in place of what `oneLine` refuses; for what was kept before it did. */
export const shown = (text: string): string => text.replaceAll(NOT_SHOWN, '\uFFFD');

export const NameSchema = z.string().check(z.trim(), z.minLength(1), z.maxLength(NAME_MAX), oneLine);
export const ShortNameSchema = z
  .string()
  .check(z.trim(), z.minLength(1), z.maxLength(SHORT_NAME_MAX), oneLine);
/** A note may have lines. */
export const NoteSchema = z
  .string()
  .check(
    z.trim(),
    z.maxLength(LONG_TEXT_MAX),
    z.regex(/^(?:[\t\n\r]|[^\p{Cc}\p{Cs}])*$/u, 'must be text without control characters'),
  );

/** Epoch milliseconds, UTC. Bounded to the years 2000 to 2100 so that seconds sent as milliseconds are refused. */
export const EpochMsSchema = z.int().check(z.gte(946_684_800_000), z.lte(4_102_444_800_000));
/** Degrees Celsius that food can have. */
export const FoodTempCSchema = z.number().check(z.gte(-30), z.lte(130));
