import * as z from 'zod/mini';

export const FOODS = [
  'beef',
  'beef-minced',
  'lamb',
  'lamb-minced',
  'pork',
  'pork-minced',
  'chicken',
  'turkey',
  'fish',
  'vegetable',
  'cheese',
  'stew',
] as const;
export const FoodSchema = z.enum(FOODS);
export type Food = z.infer<typeof FoodSchema>;

/** `thicknessMm` of a slab is its whole thickness; of a cylinder or sphere its diameter. */
export const SHAPES = ['slab', 'cylinder', 'sphere'] as const;
export const ShapeSchema = z.enum(SHAPES);
export type Shape = z.infer<typeof ShapeSchema>;

export const HEATS = ['hot', 'medium', 'gentle', 'indirect'] as const;
export const HeatSchema = z.enum(HEATS);
export type Heat = z.infer<typeof HeatSchema>;

export const TurnPlanSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('none') }),
  z.strictObject({ kind: z.literal('once') }),
  z.strictObject({ kind: z.literal('every'), seconds: z.int().check(z.gte(15), z.lte(7200)) }),
]);
export type TurnPlan = z.infer<typeof TurnPlanSchema>;

export const RULE_SETS = ['uk', 'us', 'au'] as const;
export const RuleSetIdSchema = z.enum(RULE_SETS);
export type RuleSetId = z.infer<typeof RuleSetIdSchema>;
