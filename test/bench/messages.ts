import * as z from 'zod/mini';

/** What the processes of the bench are asked, and what they answer. Times in ms of the monotonic clock. */
export const PublisherQuestion = z.union([
  z.strictObject({ do: z.literal('connect'), port: z.number(), window: z.number() }),
  z.strictObject({ do: z.literal('flood'), messages: z.number() }),
  z.strictObject({
    do: z.literal('pace'),
    perS: z.number(),
    forMs: z.number(),
    sensors: z.number(),
    allTimed: z.boolean(),
  }),
  z.strictObject({ do: z.literal('history'), seconds: z.number(), sensors: z.number() }),
]);
export type PublisherQuestion = z.infer<typeof PublisherQuestion>;

/** `acked`: acknowledgements heard, each for a message of its own. */
export const Published = z.strictObject({
  sent: z.number(),
  acked: z.number(),
  firstMs: z.number(),
  lastAckMs: z.number(),
});
export type Published = z.infer<typeof Published>;

export const CounterQuestion = z.union([
  z.strictObject({ do: z.literal('start'), port: z.number() }),
  z.strictObject({ do: z.literal('reach'), messages: z.number(), withinMs: z.number() }),
]);
export const Started = z.strictObject({ port: z.number() });
export const Reached = z.strictObject({ messages: z.number(), atMs: z.number() });

export const ScreensQuestion = z.union([
  z.strictObject({ do: z.literal('open'), url: z.string(), screens: z.number() }),
  z.strictObject({ do: z.literal('collect') }),
]);
export const Collected = z.strictObject({ events: z.number(), delaysMs: z.array(z.number()) });

export const FeedQuestion = z.strictObject({ do: z.literal('start'), brokerPort: z.number() });
