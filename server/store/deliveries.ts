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
/** Packet ids of one row: a sender counts them up, so that a flood writes one row for so many messages. */
const BLOCK_IDS = 32;
/** A mark is a digest and a moment, epoch ms, each a float64; a digest of 0 is no mark. */
const MARK_BYTES = 16;
const MOMENT_AT = 8;
/**
 * Rows of all senders, who may make up a new name at every connection. OURS: two megabytes, and the packet ids of one sender
 * (16 bits: MQTT 5 section 2.2.1) fill half of them, as those of a whole external broker do.
 */
const KEPT_IN_ALL = 4_096;
/** Pruning goes through all rows: milliseconds, shared by so many that were written. */
const PRUNE_EVERY = 200;
/** Rows at hand; beyond it they are read again. OURS: more clients than the broker lets in. */
const AT_HAND = 1_000;

type Block = { sender: string; number: number; marks: Buffer; newestMs: number; isChanged: boolean };

/** Marks of messages whose redelivery cannot be told by their time: by sender, packet id and content. */
export class Deliveries {
  private readonly run: ReturnType<typeof prepare>;
  /** The row that each sender is in. */
  private readonly current = new Map<string, Block>();
  private changed: Block[] = [];
  /** Of a sender: its newest mark that is not of just now, worked out once a transaction. */
  private readonly wentOn = new Map<string, number>();
  /** The first group after a start prunes too. */
  private sincePruned = PRUNE_EVERY;

  constructor(db: Db) {
    this.run = prepare(db);
  }

  /** Whether it was stored before; a new one is marked. Inside the transaction. */
  isRepeat({ sender, packetId, digest, isRepeat }: Delivery, atMs: number): boolean {
    const { block, offset } = this.placeOf(sender, packetId);
    if (isRepeat && block.marks.readDoubleLE(offset) === digest) {
      const markMs = block.marks.readDoubleLE(offset + MOMENT_AT);
      if (!this.hasGoneOn(sender, markMs, atMs)) return true;
    }
    block.marks.writeDoubleLE(digest, offset);
    block.marks.writeDoubleLE(atMs, offset + MOMENT_AT);
    block.newestMs = atMs;
    if (!block.isChanged) this.changed.push(block);
    block.isChanged = true;
    return false;
  }

  /** Before the transaction ends. */
  flush(nowMs: number): void {
    this.write();
    if (this.sincePruned < PRUNE_EVERY) return;
    this.run.prune.run({ now: nowMs, keptMs: KEPT_MS, inAll: KEPT_IN_ALL });
    this.current.clear(); // what was pruned must not come back from here
    this.sincePruned = 0;
  }

  /** The transaction is on disk. */
  settle(): void {
    this.wentOn.clear();
    if (this.current.size > AT_HAND) this.current.clear();
  }

  /** The transaction was rolled back: what is known is read again. */
  forget(): void {
    this.wentOn.clear();
    this.current.clear();
    this.changed = [];
  }

  private write(): void {
    for (const block of this.changed) {
      this.run.keep.run(block.sender, block.number, block.marks, block.newestMs);
      block.isChanged = false;
    }
    this.sincePruned += this.changed.length;
    this.changed = [];
  }

  private placeOf(sender: string, packetId: number): { block: Block; offset: number } {
    const number = Math.floor(packetId / BLOCK_IDS);
    const offset = (packetId % BLOCK_IDS) * MARK_BYTES;
    const known = this.current.get(sender);
    if (known?.number === number) return { block: known, offset };
    if (known?.isChanged === true) this.write(); // the one that is asked for may be among the unwritten
    const marks = this.run.find.get(sender, number)?.marks ?? Buffer.alloc(BLOCK_IDS * MARK_BYTES);
    const block: Block = { sender, number, marks, newestMs: 0, isChanged: false };
    this.current.set(sender, block);
    return { block, offset };
  }

  /** New messages of just now do not count: they may be sent in between what comes again after an outage. */
  private hasGoneOn(sender: string, markMs: number, nowMs: number): boolean {
    let newestMs = this.wentOn.get(sender);
    if (newestMs === undefined) {
      this.write();
      newestMs = newestBefore(nowMs - GONE_ON_MS, this.run.ofSender.all(sender));
      this.wentOn.set(sender, newestMs);
    }
    return newestMs - markMs > GONE_ON_MS;
  }
}

function newestBefore(limitMs: number, rows: readonly { marks: Buffer }[]): number {
  let newestMs = Number.NEGATIVE_INFINITY;
  for (const { marks } of rows) {
    for (let offset = 0; offset < marks.length; offset += MARK_BYTES) {
      const atMs = marks.readDoubleLE(offset + MOMENT_AT);
      if (marks.readDoubleLE(offset) !== 0 && atMs < limitMs && atMs > newestMs) newestMs = atMs;
    }
  }
  return newestMs;
}

function prepare(db: Db) {
  return {
    find: db.prepare<[string, number], { marks: Buffer }>(
      'SELECT marks FROM delivery_block WHERE sender = ? AND block = ?',
    ),
    ofSender: db.prepare<[string], { marks: Buffer }>('SELECT marks FROM delivery_block WHERE sender = ?'),
    keep: db.prepare<[string, number, Buffer, number]>(
      `INSERT INTO delivery_block (sender, block, marks, newest_ms) VALUES (?, ?, ?, ?)
       ON CONFLICT DO UPDATE SET marks = excluded.marks, newest_ms = excluded.newest_ms`,
    ),
    // by distance from now: marks of a clock that was far ahead must not outlast those of today
    prune: db.prepare<[{ now: number; keptMs: number; inAll: number }]>(
      `DELETE FROM delivery_block WHERE (sender, block) IN (
         SELECT sender, block FROM (
           SELECT sender, block, abs(newest_ms - @now) AS off,
             row_number() OVER (ORDER BY abs(newest_ms - @now)) AS in_all
           FROM delivery_block)
         WHERE off > @keptMs OR in_all > @inAll)`,
    ),
  };
}
