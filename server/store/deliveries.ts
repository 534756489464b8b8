import type { Delivery } from '../ports.ts';
import type { Db } from './database.ts';

const MIN_MS = 60_000;
/**
 * Who reconnects sends first what was not acknowledged (MQTT 3.1.1 section 4.4). So a sender that went on for this long
 * after a message is done with it, and its packet id and text may come again with another reading. OURS: a connection
 * that stalls for minutes is still the same one.
 */
const GONE_ON_MS = 10 * MIN_MS;
/** A message that was not acknowledged comes again within a session, not days later. */
const KEPT_MS = 2 * 1_440 * MIN_MS;
/** More than there are packet ids (MQTT 5 section 2.2.1: 16 bits): a whole external broker is one sender. */
const KEPT_OF_SENDER = 70_000;
/** Of all senders, who may make up a new name at every connection. OURS: a few megabytes. */
const KEPT_IN_ALL = 140_000;
/** Pruning goes through all marks: a tenth of a second, shared by so many messages. */
const PRUNE_EVERY = 20_000;

/** Marks of messages whose redelivery cannot be told by their time: by sender, packet id and content. */
export class Deliveries {
  private readonly run: ReturnType<typeof prepare>;
  /** Of a sender: its newest mark that is not of just now, worked out once a transaction. */
  private readonly wentOn = new Map<string, number>();
  /** The first mark after a start prunes too. */
  private sincePruned = PRUNE_EVERY;

  constructor(db: Db) {
    this.run = prepare(db);
  }

  /** Whether it was stored before; a new one is marked. Inside the transaction. */
  isRepeat({ sender, packetId, digest, isRepeat }: Delivery, atMs: number): boolean {
    const before = isRepeat ? this.run.get.get(sender, packetId) : undefined;
    if (before?.digest === digest && !this.hasGoneOn(sender, before.at_ms, atMs)) return true;
    this.run.keep.run(sender, packetId, digest, atMs);
    this.sincePruned += 1;
    if (this.sincePruned > PRUNE_EVERY) {
      this.run.prune.run({ now: atMs, keptMs: KEPT_MS, ofSender: KEPT_OF_SENDER, inAll: KEPT_IN_ALL });
      this.sincePruned = 0;
    }
    return false;
  }

  /** The transaction ended, one way or the other. */
  settle(): void {
    this.wentOn.clear();
  }

  /** New messages of just now do not count: they may be sent in between what comes again after an outage. */
  private hasGoneOn(sender: string, markMs: number, nowMs: number): boolean {
    let newestMs = this.wentOn.get(sender);
    if (newestMs === undefined) {
      newestMs = this.run.newest.get(sender, nowMs - GONE_ON_MS)?.at_ms ?? Number.NEGATIVE_INFINITY;
      this.wentOn.set(sender, newestMs);
    }
    return newestMs - markMs > GONE_ON_MS;
  }
}

function prepare(db: Db) {
  return {
    get: db.prepare<[string, number], { digest: string; at_ms: number }>(
      'SELECT digest, at_ms FROM delivery WHERE sender = ? AND packet_id = ?',
    ),
    newest: db.prepare<[string, number], { at_ms: number | null }>(
      'SELECT max(at_ms) AS at_ms FROM delivery WHERE sender = ? AND at_ms < ?',
    ),
    keep: db.prepare<[string, number, string, number]>(
      `INSERT INTO delivery (sender, packet_id, digest, at_ms) VALUES (?, ?, ?, ?)
       ON CONFLICT DO UPDATE SET digest = excluded.digest, at_ms = excluded.at_ms`,
    ),
    // by distance from now: marks of a clock that was far ahead must not outlast those of today
    prune: db.prepare<[{ now: number; keptMs: number; ofSender: number; inAll: number }]>(
      `DELETE FROM delivery WHERE (sender, packet_id) IN (
         SELECT sender, packet_id FROM (
           SELECT sender, packet_id, abs(at_ms - @now) AS off,
             row_number() OVER (PARTITION BY sender ORDER BY abs(at_ms - @now)) AS of_sender,
             row_number() OVER (ORDER BY abs(at_ms - @now)) AS in_all
           FROM delivery)
         WHERE off > @keptMs OR of_sender > @ofSender OR in_all > @inAll)`,
    ),
  };
}
