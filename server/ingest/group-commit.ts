import type { CommitStats, Intake, Log } from '../ports.ts';

/** Called once the message is on disk, or with the error when it is not. */
export type Done = (error: Error | null) => void;

/** A disk that is this quick costs so little that the next commit follows at once. */
const FAST_COMMIT_MS = 1;
/** Four times what the disk takes keeps the loop at most a fifth in fsync, at any disk speed. */
const DELAY_FACTOR = 4;
const MAX_DELAY_MS = 250;
const SMOOTHING = 0.2;
/** After a failed commit the store is asked again no sooner, and then also when no message comes. */
const RETRY_MS = 1_000;
/** More than a slow disk needs: who adds beyond it should wait for the answer, so that memory stays bounded. OURS. */
const ENOUGH = 10_000;

/** Side by side, not in pairs: one object less for each message that waits. */
type Waiting = { intakes: Intake[]; dones: Done[] };
const nobody = (): Waiting => ({ intakes: [], dones: [] });
/**
 * Collects messages and commits them together; every sender hears only after the commit. While the store fails it is tried
 * with an empty group, so that a quiet hour does not pass for a broken disk.
 */
export class GroupCommit {
  private readonly commit: (intakes: Intake[]) => number;
  private readonly log: Log;
  private waiting = nobody();
  private scheduled = false;
  private blockedUntilMs = 0;
  /** What the disk takes of a commit: the inserts are work that waiting does not save. */
  private syncMeanMs = 0;
  private probing: NodeJS.Timeout | null = null;
  readonly stats: CommitStats = {
    commits: 0,
    failures: 0,
    refused: 0,
    totalMs: 0,
    lastMs: 0,
    meanMs: 0,
    maxMs: 0,
  };
  /** False from a failed commit until one succeeds. */
  isStoring = true;

  /** @param commit  on disk when it returns; answers how long the disk took, ms */
  constructor(commit: (intakes: Intake[]) => number, log: Log) {
    this.commit = commit;
    this.log = log;
  }

  /** False when so much is waiting that the sender should hold the next message back until `done`. */
  add(intake: Intake, done: Done): boolean {
    this.waiting.intakes.push(intake);
    this.waiting.dones.push(done);
    if (!this.scheduled) {
      this.scheduled = true;
      const delayMs = this.delayMs();
      if (delayMs === 0) setImmediate(this.flush);
      else setTimeout(this.flush, delayMs);
    }
    return this.waiting.intakes.length < ENOUGH;
  }

  /** Commits what is waiting now; used when closing. */
  readonly flush = (): void => {
    this.scheduled = false;
    const { intakes, dones } = this.waiting;
    if (intakes.length === 0) return;
    this.waiting = nobody();
    const error = this.tryCommit(intakes);
    for (const done of dones) this.tell(done, error);
  };

  /** One sender that fails over its answer must not keep the others from theirs. */
  private tell(done: Done, error: Error | null): void {
    try {
      done(error);
    } catch (err: unknown) {
      this.log.error({ err }, 'a sender could not be answered');
    }
  }

  private tryCommit(intakes: Intake[]): Error | null {
    const startMs = performance.now();
    try {
      const syncMs = this.commit(intakes);
      this.note(performance.now() - startMs, syncMs);
      this.isStoring = true;
      return null;
    } catch (cause: unknown) {
      this.stats.failures += 1;
      this.stats.refused += intakes.length;
      this.isStoring = false;
      this.blockedUntilMs = performance.now() + RETRY_MS;
      this.probeLater();
      this.log.error(
        { err: cause, messages: intakes.length },
        'readings could not be stored; not acknowledged',
      );
      return cause instanceof Error ? cause : new Error('the store failed', { cause });
    }
  }

  private probeLater(): void {
    this.probing ??= setTimeout(() => {
      this.probing = null;
      this.probe();
    }, RETRY_MS).unref();
  }

  /** Neither counted nor told when it fails: nothing was refused. */
  private probe(): void {
    if (this.isStoring) return;
    try {
      this.commit([]);
      this.isStoring = true;
      this.log.info({}, 'readings can be stored again');
    } catch {
      this.probeLater(); // the failure that it began with was told
    }
  }

  private note(tookMs: number, syncMs: number): void {
    const s = this.stats;
    this.syncMeanMs = s.commits === 0 ? syncMs : this.syncMeanMs + SMOOTHING * (syncMs - this.syncMeanMs);
    s.meanMs = s.commits === 0 ? tookMs : s.meanMs + SMOOTHING * (tookMs - s.meanMs);
    s.commits += 1;
    s.totalMs += tookMs;
    s.lastMs = tookMs;
    s.maxMs = Math.max(s.maxMs, tookMs);
  }

  private delayMs(): number {
    const waitMs = this.isStoring ? 0 : Math.max(0, this.blockedUntilMs - performance.now());
    if (waitMs > 0) return waitMs;
    return this.syncMeanMs < FAST_COMMIT_MS ? 0 : Math.min(MAX_DELAY_MS, DELAY_FACTOR * this.syncMeanMs);
  }
}
