/** Usual wait before the next attempt, ms: a broker that was restarted is back in seconds. */
const FIRST_MS = 1_000;
/** While readings cannot be stored, asking for them again is of no use: 1, 2, 4 .. 30 s. */
const STORE_LONGEST_MS = 30_000;
/** Another program with our client id throws us out, and we it: 1, 2, 4 .. 15 min, so that nobody fights. OURS. */
const RIVAL_FIRST_MS = 60_000;
const RIVAL_LONGEST_MS = 900_000;
/** A connection that the broker ends this soon, so many times in a row, has a rival. OURS. */
const SHORT_LIFE_MS = 10_000;
const SHORT_LIVES = 3;
/** After so long without trouble a rival is forgotten, ms. OURS. */
const CALM_MS = 900_000;

export type Ending =
  /** The connection was there and ended; `takenOver`: the broker said that another took the session (0x8E). */
  | { kind: 'ended'; livedMs: number; takenOver: boolean }
  /** We dropped it because the store failed. */
  | { kind: 'store-failed' }
  /** There was no connection: nobody answers, or the broker refused. */
  | { kind: 'not-reached' };

/** How long to wait before connecting again. Knows no clock. */
export class Reconnect {
  private storeFailures = 0;
  private shortLives = 0;
  private rivals = 0;

  /** Another program seems to use the same client id. `livedMs`: how long the connection that is there has lived. */
  hasRival(livedMs: number | null): boolean {
    return this.rivals > 0 && !(livedMs !== null && livedMs >= CALM_MS);
  }

  /** @returns ms to wait before the next attempt */
  afterEnd(ending: Ending): number {
    switch (ending.kind) {
      case 'store-failed':
        this.storeFailures += 1;
        return doubled(FIRST_MS, this.storeFailures, STORE_LONGEST_MS);
      case 'not-reached':
        this.shortLives = 0;
        return FIRST_MS;
      case 'ended':
        return this.afterLife(ending);
    }
  }

  stored(): void {
    this.storeFailures = 0;
  }

  private afterLife({ livedMs, takenOver }: { livedMs: number; takenOver: boolean }): number {
    if (livedMs >= CALM_MS) this.rivals = 0;
    this.shortLives = livedMs < SHORT_LIFE_MS ? this.shortLives + 1 : 0;
    // who was thrown out once and is thrown out again has not got rid of the other
    if (!takenOver && this.shortLives < SHORT_LIVES && this.rivals === 0) return FIRST_MS;
    this.rivals += 1;
    return doubled(RIVAL_FIRST_MS, this.rivals, RIVAL_LONGEST_MS);
  }
}

function doubled(firstMs: number, times: number, longestMs: number): number {
  return Math.min(longestMs, firstMs * 2 ** (times - 1));
}
