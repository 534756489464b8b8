import type { Log, Outage, OutageLog } from '../ports.ts';

const STORE_FAILED = 'readings could not be written down; what a probe did not send again is missing';

/** Keeps outages, also those that happen while nothing can be written: they are written down as soon as that goes again. */
export class OutageKeeper implements Pick<OutageLog, 'add'> {
  private readonly log: Log;
  private readonly outages: OutageLog;
  private readonly unwritten: Outage[] = [];
  private failingSinceMs: number | null = null;

  constructor(outages: OutageLog, log: Log) {
    this.outages = outages;
    this.log = log;
  }

  add(outage: Outage): void {
    this.log.warn({ ...outage }, 'readings may be missing');
    this.unwritten.push(outage);
    this.write();
  }

  /** To be called every second. */
  beat(nowMs: number, isStoring: boolean): void {
    if (!isStoring) this.failingSinceMs ??= nowMs;
    else if (this.failingSinceMs !== null) {
      const fromMs = this.failingSinceMs;
      this.failingSinceMs = null;
      this.add({ kind: 'store-failed', fromMs, toMs: nowMs, detail: STORE_FAILED });
    } else this.write();
  }

  /** The server ends: what is still going on is written down as far as it went. */
  end(nowMs: number): void {
    if (this.failingSinceMs === null) this.write();
    else this.beat(nowMs, true);
  }

  private write(): void {
    try {
      for (let next = this.unwritten[0]; next; next = this.unwritten[0]) {
        this.outages.add(next);
        this.unwritten.shift();
      }
    } catch (err: unknown) {
      this.log.error({ err, waiting: this.unwritten.length }, 'an outage cannot be written down yet');
    }
  }
}
