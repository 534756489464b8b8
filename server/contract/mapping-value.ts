import * as z from 'zod/mini';
import { keyPatternProblem } from './key-pattern.ts';
import { SIDE_QUANTITIES } from './reading.ts';

/* What a rule of the mapping takes out of a payload: where the number is, what it is, and what it means. */

const MAX_POINTER = 200;
const MAX_SENTINELS = 20;

/** SenML names where there is one (RFC 8428 section 12.1), `degF` besides; temperatures are kept in Celsius. */
export const UNITS = ['Cel', 'degF', 'K', '%RH', '%EL', 'V', 'mV', 'Ohm', 'dBm', '1'] as const;
export const UnitSchema = z.enum(UNITS);
export type Unit = z.infer<typeof UnitSchema>;

export const QUANTITIES = ['temperature', ...SIDE_QUANTITIES] as const;
export const CONVERSIONS = ['none', 'pt100', 'pt1000', 'typeK', 'ntc-beta', 'ntc-sh'] as const;

/** RFC 6901: '' is the whole payload, '/a/0/b' a member of a list in it; ~1 stands for / and ~0 for ~. */
export const PointerSchema = z
  .string()
  .check(
    z.maxLength(MAX_POINTER),
    z.regex(/^(?:\/(?:[^~/]|~[01])*)*$/, 'must be a JSON pointer such as /probes/0 (RFC 6901)'),
  );
/** What to say of a field that has none of the forms that it can have. */
export function oneOf(forms: string) {
  return {
    error: ({ code }: { code?: string }): string | undefined =>
      code === 'invalid_union' ? `must be ${forms}` : undefined,
  };
}
const FiniteSchema = z.number();
const PositiveSchema = z.number().check(z.gt(0, 'must be greater than 0'));

const UnitFieldSchema = z.strictObject({
  from: z.literal('json'),
  at: PointerSchema,
  map: z.record(z.string(), UnitSchema),
});

const ColdJunctionSchema = z.discriminatedUnion(
  'from',
  [
    z.strictObject({ from: z.literal('const'), valueC: z.number().check(z.gte(-60), z.lte(200)) }),
    z.strictObject({ from: z.literal('json'), at: PointerSchema, unit: z.enum(['Cel', 'degF', 'K']) }),
  ],
  oneOf('const or json'),
);
export type ColdJunction = z.infer<typeof ColdJunctionSchema>;

const ThermistorSchema = z.discriminatedUnion(
  'kind',
  [
    /** 1/T = 1/T0 + ln(R/R0)/beta, T in kelvin. */
    z.strictObject({
      kind: z.literal('beta'),
      r0Ohm: PositiveSchema,
      t0C: z._default(z.number().check(z.gte(-60), z.lte(300)), 25),
      beta: PositiveSchema,
    }),
    /** Steinhart-Hart: 1/T = a + b ln R + c (ln R)^3, T in kelvin, R in ohm. */
    z.strictObject({ kind: z.literal('sh'), a: FiniteSchema, b: FiniteSchema, c: FiniteSchema }),
  ],
  oneOf('beta or sh'),
);

/** The value is the count of an analogue input between a fixed resistor and the sensor. */
const DividerSchema = z.strictObject({
  seriesOhm: PositiveSchema,
  /** The count at the supply voltage, e.g. 4095. */
  fullScale: PositiveSchema,
  sensorTo: z.enum(['ground', 'supply']),
});

const ValueShape = z.strictObject({
  at: z._default(PointerSchema, ''),
  /** A regular expression: one reading for each member of the object or list at `at` whose name matches. */
  eachKey: z.optional(
    z.string().check(z.superRefine((text, ctx) => addProblem(ctx, keyPatternProblem(text)))),
  ),
  /** Where the number is inside of such a member. */
  below: z._default(PointerSchema, ''),
  quantity: z.enum(QUANTITIES),
  unit: z.union([UnitSchema, UnitFieldSchema], oneOf(`${UNITS.join(', ')}, or {from: json, at, map}`)),
  /** What counts is number * scale + offset. */
  num: z.prefault(
    z.strictObject({
      scale: z._default(z.number().check(z.refine((n) => n !== 0, 'must not be 0')), 1),
      offset: z._default(FiniteSchema, 0),
      decimal: z._default(z.enum(['.', ',']), '.'),
    }),
    {},
  ),
  convert: z._default(z.enum(CONVERSIONS), 'none'),
  coldJunction: z.optional(ColdJunctionSchema),
  thermistor: z.optional(ThermistorSchema),
  divider: z.optional(DividerSchema),
  /**
   * What the device sends in place of a number. A number listed here is kept as a missing reading; a text, and null,
   * '' and nan always, say that nothing is plugged in.
   */
  missing: z._default(
    z
      .array(z.union([z.number(), z.string(), z.null()], oneOf('a number, a text or null')))
      .check(z.maxLength(MAX_SENTINELS)),
    [],
  ),
  /** Lowest and highest that can be true, after conversion (temperatures in Celsius). */
  valid: z.optional(z.tuple([FiniteSchema, FiniteSchema])),
});
export type ValueSpec = z.infer<typeof ValueShape>;

export type CheckContext = {
  addIssue(issue: { code: 'custom'; path: (string | number)[]; message: string }): void;
};
type Quantity = ValueSpec['quantity'];
type Conversion = ValueSpec['convert'];

const QUANTITY_UNITS: Readonly<Record<Quantity, readonly Unit[]>> = {
  temperature: ['Cel', 'degF', 'K'],
  humidity: ['%RH'],
  battery: ['%EL'],
  voltage: ['V', 'mV'],
  resistance: ['Ohm'],
  signal: ['dBm', '1'],
};

const NEEDS_THERMISTOR: Readonly<Record<Conversion, 'beta' | 'sh' | null>> = {
  none: null,
  pt100: null,
  pt1000: null,
  typeK: null,
  'ntc-beta': 'beta',
  'ntc-sh': 'sh',
};

export function say(ctx: CheckContext, path: (string | number)[], message: string): void {
  ctx.addIssue({ code: 'custom', path, message });
}

function takenUnits({ quantity, convert, divider }: ValueSpec): readonly Unit[] {
  switch (convert) {
    case 'none':
      return QUANTITY_UNITS[quantity];
    case 'typeK':
      return ['mV'];
    case 'pt100':
    case 'pt1000':
    case 'ntc-beta':
    case 'ntc-sh':
      return divider ? ['1'] : ['Ohm'];
  }
}

function checkUnits(value: ValueSpec, ctx: CheckContext): void {
  const taken = takenUnits(value);
  const what = value.convert === 'none' ? value.quantity : value.convert;
  const text = `must be ${taken.join(' or ')} for ${what}`;
  const needsDivider = value.convert !== 'none' && value.convert !== 'typeK' && !value.divider;
  const more = needsDivider ? '; a raw count (unit 1) needs a divider' : '';
  if (typeof value.unit === 'string') {
    if (!taken.includes(value.unit)) say(ctx, ['unit'], text + more);
    return;
  }
  const entries = Object.entries(value.unit.map);
  if (entries.length === 0) say(ctx, ['unit', 'map'], 'must name at least one unit');
  for (const [name, unit] of entries) {
    if (!taken.includes(unit)) say(ctx, ['unit', 'map', name], text + more);
  }
}

/** Whether the parts of one value fit each other. */
function checkValue(value: ValueSpec, ctx: CheckContext): void {
  const { convert, quantity, thermistor, coldJunction, divider, valid, below, eachKey } = value;
  checkUnits(value, ctx);
  if (convert !== 'none' && quantity !== 'temperature') say(ctx, ['convert'], 'gives a temperature only');
  const needed = NEEDS_THERMISTOR[convert];
  if (needed !== null && thermistor?.kind !== needed)
    say(ctx, ['thermistor'], `${convert} needs the numbers of kind ${needed}`);
  if (needed === null && thermistor) say(ctx, ['thermistor'], 'only for ntc-beta and ntc-sh');
  if (convert === 'typeK' && !coldJunction)
    say(ctx, ['coldJunction'], 'typeK needs the temperature of its cold junction');
  if (convert !== 'typeK' && coldJunction) say(ctx, ['coldJunction'], 'only for typeK');
  if (divider && (convert === 'none' || convert === 'typeK'))
    say(ctx, ['divider'], 'only for a resistance (pt100, pt1000, ntc-beta, ntc-sh)');
  if (valid && !(valid[0] < valid[1])) say(ctx, ['valid'], 'the lowest comes first');
  if (below !== '' && eachKey === undefined) say(ctx, ['below'], 'only together with eachKey');
}

export const ValueSchema = ValueShape.check(z.superRefine(checkValue));

/** What is wrong with a text, as an issue of the field itself. */
export function addProblem(ctx: { addIssue(message: string): void }, problem: string | null): void {
  if (problem !== null) ctx.addIssue(problem);
}
