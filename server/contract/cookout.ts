import * as z from 'zod/mini';
import { FoodSchema, HeatSchema, RuleSetIdSchema, ShapeSchema, TurnPlanSchema } from './food.ts';
import { EpochMsSchema, FoodTempCSchema, IdSchema, NameSchema, oneLine, ShortNameSchema } from './text.ts';

export const ServeSchema = z.strictObject({ id: IdSchema, atMs: EpochMsSchema });
export type Serve = z.infer<typeof ServeSchema>;

export const CookoutSchema = z.strictObject({
  id: IdSchema,
  name: NameSchema,
  /** IANA zone name. */
  timeZone: z.string().check(z.minLength(1), z.maxLength(64)),
  altitudeM: z.number().check(z.gte(-430), z.lte(6000)),
  ruleSet: RuleSetIdSchema,
  guests: z.int().check(z.gte(0), z.lte(500)),
  diets: z.array(z.strictObject({ name: NameSchema, guests: z.int().check(z.gte(0), z.lte(500)) })),
  serves: z.array(ServeSchema).check(z.maxLength(6)),
  isDemo: z.boolean(),
  createdMs: EpochMsSchema,
  /** Set when the cook has closed it; its record stays. */
  endedMs: z.nullable(EpochMsSchema),
});
export type Cookout = z.infer<typeof CookoutSchema>;

const ServeInputSchema = z.strictObject({ id: z.optional(IdSchema), atMs: EpochMsSchema });
export const CookoutInputSchema = z.strictObject({
  name: CookoutSchema.shape.name,
  timeZone: z.optional(CookoutSchema.shape.timeZone),
  altitudeM: z.optional(CookoutSchema.shape.altitudeM),
  ruleSet: CookoutSchema.shape.ruleSet,
  guests: z.optional(CookoutSchema.shape.guests),
  diets: z.optional(CookoutSchema.shape.diets),
  serves: z.optional(z.array(ServeInputSchema).check(z.maxLength(6))),
  isDemo: z.optional(z.boolean()),
});
export type CookoutInput = z.infer<typeof CookoutInputSchema>;
export const CookoutPatchSchema = z.extend(z.partial(CookoutInputSchema), { ended: z.optional(z.boolean()) });

export const PLACE_KINDS = ['cooler', 'zone', 'pot', 'bench'] as const;
export const PlaceSchema = z.strictObject({
  id: IdSchema,
  cookoutId: IdSchema,
  kind: z.enum(PLACE_KINDS),
  name: NameSchema,
  short: ShortNameSchema,
  /** How hot a grill zone is; null for every other kind. */
  heat: z.nullable(HeatSchema),
  /** Room inside; null where nobody measured it. */
  litres: z.nullable(z.number().check(z.gt(0), z.lte(2000))),
  sensorIds: z.array(z.string().check(z.minLength(1), z.maxLength(128))).check(z.maxLength(8)),
  order: z.int(),
});
export type Place = z.infer<typeof PlaceSchema>;
export type PlaceKind = Place['kind'];
export const PlaceInputSchema = z.strictObject({
  kind: PlaceSchema.shape.kind,
  name: PlaceSchema.shape.name,
  short: z.optional(PlaceSchema.shape.short),
  heat: z.optional(PlaceSchema.shape.heat),
  litres: z.optional(PlaceSchema.shape.litres),
  sensorIds: z.optional(PlaceSchema.shape.sensorIds),
  /** Since when these probes sit there, when that is earlier than now: what they read before counts too. */
  sensorsSinceMs: z.optional(EpochMsSchema),
});
export type PlaceInput = z.infer<typeof PlaceInputSchema>;
export const PlacePatchSchema = z.partial(PlaceInputSchema);
export type PlacePatch = z.infer<typeof PlacePatchSchema>;

const MinutesSchema = z.number().check(z.gte(0), z.lte(1440));
export const DishSchema = z.strictObject({
  id: IdSchema,
  cookoutId: IdSchema,
  name: NameSchema,
  short: ShortNameSchema,
  food: FoodSchema,
  shape: ShapeSchema,
  thicknessMm: z.number().check(z.gte(3), z.lte(400)),
  /** Doneness target of the core, degC; null = cooked by the clock. */
  targetC: z.nullable(FoodTempCSchema),
  /** Time on the fire for a dish that is cooked by the clock, min. */
  clockMin: z.nullable(MinutesSchema),
  restMin: MinutesSchema,
  turnPlan: TurnPlanSchema,
  /** A reserve dish waits for rain or a gap and is reheated when needed. */
  reserve: z.boolean(),
  /** How long the reserve needs to become hot, min. */
  heatMin: z.nullable(MinutesSchema),
  order: z.int(),
});
export type Dish = z.infer<typeof DishSchema>;
export const DishInputSchema = z.strictObject({
  name: DishSchema.shape.name,
  short: z.optional(DishSchema.shape.short),
  food: DishSchema.shape.food,
  shape: DishSchema.shape.shape,
  thicknessMm: DishSchema.shape.thicknessMm,
  targetC: z.optional(DishSchema.shape.targetC),
  clockMin: z.optional(DishSchema.shape.clockMin),
  restMin: z.optional(DishSchema.shape.restMin),
  turnPlan: z.optional(DishSchema.shape.turnPlan),
  reserve: z.optional(DishSchema.shape.reserve),
  heatMin: z.optional(DishSchema.shape.heatMin),
});
export type DishInput = z.infer<typeof DishInputSchema>;
export const DishPatchSchema = z.partial(DishInputSchema);
export type DishPatch = z.infer<typeof DishPatchSchema>;

export const BatchSchema = z.strictObject({
  id: IdSchema,
  dishId: IdSchema,
  /** "1st", "2nd" ... */
  label: z.string().check(z.minLength(1), z.maxLength(20), oneLine),
  pieces: z.int().check(z.gte(1), z.lte(500)),
  serveId: z.nullable(IdSchema),
  sensorId: z.nullable(z.string().check(z.minLength(1), z.maxLength(128))),
  /** Where it is meant to cook, or where it waits when it does not go on the fire. */
  placeId: z.nullable(IdSchema),
  /** When it is meant to go on; null = worked back from the serving time. */
  plannedOnMs: z.nullable(EpochMsSchema),
  order: z.int(),
});
export type Batch = z.infer<typeof BatchSchema>;
export const BatchInputSchema = z.strictObject({
  label: z.optional(BatchSchema.shape.label),
  pieces: z.optional(BatchSchema.shape.pieces),
  serveId: z.optional(BatchSchema.shape.serveId),
  sensorId: z.optional(BatchSchema.shape.sensorId),
  placeId: z.optional(BatchSchema.shape.placeId),
  plannedOnMs: z.optional(BatchSchema.shape.plannedOnMs),
});
export type BatchInput = z.infer<typeof BatchInputSchema>;
