/**
 * What is not yet acknowledged, oldest first, and never more than it may hold: an offer beyond that is refused, and the
 * sender waits. What was handed out and not acknowledged can be taken back and is handed out again.
 */
export class Ring<Item> {
  readonly #capacity: number;
  readonly #items = new Map<number, Item>();
  #waiting: number[] = [];
  #nextKey = 0;

  constructor(capacity: number) {
    if (!Number.isInteger(capacity) || capacity < 1) {
      throw new RangeError(`capacity: expected a whole number from 1, got ${String(capacity)}`);
    }
    this.#capacity = capacity;
  }

  /** Everything that is not acknowledged, handed out or not. */
  get size(): number {
    return this.#items.size;
  }
  get handedOut(): number {
    return this.#items.size - this.#waiting.length;
  }

  /** False when there is no room. */
  offer(item: Item): boolean {
    if (this.#items.size >= this.#capacity) return false;
    this.#items.set(this.#nextKey, item);
    this.#waiting.push(this.#nextKey);
    this.#nextKey += 1;
    return true;
  }

  /** Hands out the oldest that waits; null when none does. */
  take(): { key: number; item: Item } | null {
    const key = this.#waiting.shift();
    if (key === undefined) return null;
    const item = this.#items.get(key);
    return item === undefined ? null : { key, item };
  }

  acknowledge(key: number): void {
    this.#items.delete(key);
  }

  /** Takes back everything that was handed out and is not acknowledged. */
  takeBack(): void {
    this.#waiting = [...this.#items.keys()];
  }
}
