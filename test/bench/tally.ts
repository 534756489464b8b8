import type * as z from 'zod/mini';
import type { Reached } from './messages.ts';
import { monoMs } from './mono.ts';

/** Counts messages and knows when the last one came. */
export class Tally {
  private messages = 0;
  private atMs = Number.NaN;

  count(): void {
    this.messages += 1;
    this.atMs = monoMs();
  }

  /** Waits for so many, or answers with what there is when it takes too long. */
  async reach(messages: number, withinMs: number): Promise<z.infer<typeof Reached>> {
    const endMs = monoMs() + withinMs;
    while (this.messages < messages && monoMs() < endMs)
      await new Promise((resolve) => setTimeout(resolve, 5));
    return { messages: this.messages, atMs: this.atMs };
  }
}
