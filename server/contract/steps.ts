import * as z from 'zod/mini';
import { HeatSchema } from './food.ts';
import { EpochMsSchema, FoodTempCSchema, IdSchema, NoteSchema } from './text.ts';

export const STEPS = [
  'packed',
  'on',
  'turned',
  'moved',
  'lid-opened',
  'lid-closed',
  'off',
  'held',
  'served',
  'cooling',
  'chilled',
  'reheating',
  'discarded',
] as const;
export const StepKindSchema = z.enum(STEPS);
export type StepKind = z.infer<typeof StepKindSchema>;

export const BATCH_STATUSES = [
  'planned',
  'packed',
  'on',
  'off',
  'held',
  'served',
  'cooling',
  'chilled',
  'reheating',
  'discarded',
] as const;
export type BatchStatus = (typeof BATCH_STATUSES)[number];

export type Step = {
  id: string;
  batchId: string;
  step: StepKind;
  atMs: number;
  /** Where it went, when the step says so. */
  zone: z.infer<typeof HeatSchema> | null;
  placeId: string | null;
};

export const StepInputSchema = z.strictObject({
  step: StepKindSchema,
  atMs: z.optional(EpochMsSchema),
  zone: z.optional(HeatSchema),
  placeId: z.optional(IdSchema),
});
export type StepInput = z.infer<typeof StepInputSchema>;

export type SpotCheck = { id: string; batchId: string; tempC: number; atMs: number; where: string };
export const SpotCheckInputSchema = z.strictObject({
  tempC: FoodTempCSchema,
  atMs: z.optional(EpochMsSchema),
  where: z.optional(NoteSchema),
});
export type SpotCheckInput = z.infer<typeof SpotCheckInputSchema>;

type Rule = { from: readonly BatchStatus[]; to: BatchStatus | 'same' };

/** Which step may follow which status. A step that is not named for a status is the wrong order. */
const RULES: Record<StepKind, Rule> = {
  packed: { from: ['planned', 'packed', 'chilled'], to: 'packed' },
  on: { from: ['planned', 'packed', 'off'], to: 'on' },
  turned: { from: ['on'], to: 'same' },
  moved: { from: ['packed', 'on', 'held', 'chilled', 'reheating'], to: 'same' },
  'lid-opened': { from: ['on', 'reheating'], to: 'same' },
  'lid-closed': { from: ['on', 'reheating'], to: 'same' },
  off: { from: ['on', 'reheating'], to: 'off' },
  held: { from: ['off', 'reheating'], to: 'held' },
  served: { from: ['off', 'held', 'reheating'], to: 'served' },
  cooling: { from: ['off', 'held', 'planned'], to: 'cooling' },
  chilled: { from: ['cooling'], to: 'chilled' },
  reheating: { from: ['planned', 'packed', 'chilled', 'cooling', 'held'], to: 'reheating' },
  discarded: {
    from: ['planned', 'packed', 'on', 'off', 'held', 'cooling', 'chilled', 'reheating'],
    to: 'discarded',
  },
};

/** What a batch is after a step, or null when the step cannot follow. */
export function statusAfter(status: BatchStatus, step: StepKind): BatchStatus | null {
  const rule = RULES[step];
  if (!rule.from.includes(status)) return null;
  return rule.to === 'same' ? status : rule.to;
}

/** The status that a run of steps leads to; steps ascending in time, in an order that was accepted. */
export function statusOf(steps: readonly Step[]): BatchStatus {
  return steps.reduce<BatchStatus>((status, { step }) => statusAfter(status, step) ?? status, 'planned');
}
