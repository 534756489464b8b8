import * as z from 'zod/mini';
import type { Clock, Log, Outage } from '../ports.ts';

/** How often it is written down that the connection is there, ms: so exact is the beginning of a gap after a crash. */
const NOTE_EVERY_MS = 60_000;

const NoteSchema = z.object({ url: z.string(), filters: z.array(z.string()), heardMs: z.number() });
type Note = z.infer<typeof NoteSchema>;

/** Keeps one short text over restarts; null when there is none. */
export type SessionMemory = { read(): string | null; write(text: string): void };

export type BrokerSessionOptions = {
  url: string;
  memory: SessionMemory;
  clock: Clock;
  log: Log;
  onOutage: (outage: Outage) => void;
};

/**
 * What is known of our session at the broker: which filters it holds, when we were last there, and so from when to when
 * nobody could have heard a reading.
 */
export class BrokerSession {
  private readonly o: BrokerSessionOptions;
  private note: Note | null;
  private isThere = false;
  /** When the connection of this start of the server went. */
  private goneMs: number | null = null;
  /** Since when the broker cannot be reached; null while it can, or has not been tried in vain. */
  private missingSinceMs: number | null = null;
  private timer: NodeJS.Timeout | null = null;

  constructor(options: BrokerSessionOptions) {
    this.o = options;
    this.note = readNote(options);
  }

  /** Filters that the session may hold from before. */
  get filters(): readonly string[] {
    return this.note?.filters ?? [];
  }

  /**
   * @param sessionPresent  as the broker says it: whether it still had our session (MQTT 5, 3.2.2-3)
   * @param hadRival  another program had taken our session over
   */
  connected({ sessionPresent, hadRival }: { sessionPresent: boolean; hadRival: boolean }): void {
    const toMs = this.o.clock.nowMs();
    if (!sessionPresent && this.note) {
      const detail = 'the broker had forgotten this server: what came in between was kept by nobody';
      this.o.onOutage({ kind: 'session-lost', fromMs: this.note.heardMs, toMs, detail });
      this.note = { ...this.note, filters: [] };
    } else if (hadRival && this.goneMs !== null) {
      const detail = 'another program with the same client id got what came in between';
      this.o.onOutage({ kind: 'session-lost', fromMs: this.goneMs, toMs, detail });
    } else this.tellMissing(toMs);
    this.missingSinceMs = null;
    this.isThere = true;
    this.timer ??= setInterval(() => this.heard(), NOTE_EVERY_MS).unref();
  }

  subscribed(filters: readonly string[]): void {
    this.keep({ url: this.o.url, filters: [...filters], heardMs: this.o.clock.nowMs() });
  }

  /** The connection is gone, or an attempt was in vain. */
  missing({ isUnreachable }: { isUnreachable: boolean }): void {
    const nowMs = this.o.clock.nowMs();
    this.heard();
    if (this.isThere) this.goneMs = nowMs;
    this.isThere = false;
    // from the moment that the connection went, not from the first attempt
    if (isUnreachable) this.missingSinceMs ??= this.goneMs ?? nowMs;
  }

  stop(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
    this.tellMissing(this.o.clock.nowMs());
    this.missingSinceMs = null;
    this.heard();
    this.isThere = false;
  }

  private heard(): void {
    if (this.isThere && this.note) this.keep({ ...this.note, heardMs: this.o.clock.nowMs() });
  }

  private tellMissing(toMs: number): void {
    if (this.missingSinceMs === null) return;
    const detail = 'the broker could not be reached';
    this.o.onOutage({ kind: 'broker-lost', fromMs: this.missingSinceMs, toMs, detail });
  }

  private keep(note: Note): void {
    this.note = note;
    try {
      this.o.memory.write(JSON.stringify(note));
    } catch (err: unknown) {
      this.o.log.warn({ err }, 'could not note the state of the broker session');
    }
  }
}

/** A note of another broker says nothing of this one. */
function readNote({ memory, url, log }: BrokerSessionOptions): Note | null {
  const text = memory.read();
  if (text === null) return null;
  try {
    const note = NoteSchema.parse(JSON.parse(text));
    return note.url === url ? note : null;
  } catch (err: unknown) {
    log.warn({ err }, 'the note of the broker session cannot be read');
    return null;
  }
}
