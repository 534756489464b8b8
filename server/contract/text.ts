import * as z from 'zod/mini';

export const LONG_TEXT_MAX = 400;
export const NAME_MAX = 60;
/** What a row can show at one metre without shrinking; look of the live screen. */
export const SHORT_NAME_MAX = 10;

export const IdSchema = z.string().check(z.regex(/^[a-z0-9-]{1,64}$/, 'must be an id: a-z, 0-9 and -'));
export const NameSchema = z.string().check(z.trim(), z.minLength(1), z.maxLength(NAME_MAX));
export const ShortNameSchema = z.string().check(z.trim(), z.minLength(1), z.maxLength(SHORT_NAME_MAX));
export const NoteSchema = z.string().check(z.trim(), z.maxLength(LONG_TEXT_MAX));

/** Epoch milliseconds, UTC. Bounded to the years 2000 to 2100 so that seconds sent as milliseconds are refused. */
export const EpochMsSchema = z.int().check(z.gte(946_684_800_000), z.lte(4_102_444_800_000));
/** Degrees Celsius that food can have. */
export const FoodTempCSchema = z.number().check(z.gte(-30), z.lte(130));
