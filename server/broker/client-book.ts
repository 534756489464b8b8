/** What is no longer news, ms. OURS. */
const NEWS_MS = 60_000;
/** So many take-overs of one id within that time are two devices, not one that came back. OURS. */
const TAKEOVERS = 3;
/** Names kept; the least recent goes. */
const KEPT = 200;

type Entry = { slowedMs: number; lastSlowedMono: number; takeovers: number[]; refusedMono: number };
export type SlowedClient = { client: string; slowedMs: number };

/** What was remarkable about clients, by client id. */
export class ClientBook {
  private readonly entries = new Map<string, Entry>();

  slowed(client: string, waitMs: number, nowMono: number): void {
    const entry = this.entryOf(client);
    entry.slowedMs += waitMs;
    entry.lastSlowedMono = nowMono;
  }

  takenOver(client: string, nowMono: number): void {
    const entry = this.entryOf(client);
    entry.takeovers = [...entry.takeovers, nowMono].slice(-TAKEOVERS);
  }

  /** Whether it is news that a packet of a client was refused: it comes back and tries again, at times every second. */
  refused(client: string, nowMono: number): boolean {
    const entry = this.entryOf(client);
    const isNews = nowMono - entry.refusedMono > NEWS_MS;
    if (isNews) entry.refusedMono = nowMono;
    return isNews;
  }

  /** Clients that are being held back: now, or within the last minute. */
  slowedNow(nowMono: number): SlowedClient[] {
    return this.slowedEver().filter(
      ({ client }) => nowMono - (this.entries.get(client)?.lastSlowedMono ?? -Infinity) <= NEWS_MS,
    );
  }

  /** All that were held back since the start, with how long in all. */
  slowedEver(): SlowedClient[] {
    return [...this.entries].flatMap(([client, { slowedMs }]) =>
      slowedMs > 0 ? [{ client, slowedMs }] : [],
    );
  }

  /** Client ids that two devices use at once. */
  shared(nowMono: number): string[] {
    return [...this.entries].flatMap(([client, { takeovers }]) =>
      takeovers.length === TAKEOVERS && nowMono - (takeovers[0] ?? -Infinity) <= NEWS_MS ? [client] : [],
    );
  }

  private entryOf(client: string): Entry {
    const entry = this.entries.get(client) ?? {
      slowedMs: 0,
      lastSlowedMono: -Infinity,
      takeovers: [],
      refusedMono: -Infinity,
    };
    this.entries.delete(client);
    this.entries.set(client, entry);
    const [oldest] = this.entries.keys();
    if (this.entries.size > KEPT && oldest !== undefined) this.entries.delete(oldest);
    return entry;
  }
}
