import { describe, expect, it, onTestFinished, vi } from 'vitest';
import { GroupCommit } from '../../server/ingest/group-commit.ts';
import type { Intake } from '../../server/ports.ts';
import { silentLog } from '../support/silent-log.ts';
import { until } from '../support/until.ts';

const anIntake = (): Intake => ({ readings: [], sides: [], unplugged: [], rejects: [], delivery: null });
const settled = (group: GroupCommit): Promise<Error | null> =>
  new Promise((resolve) => group.add(anIntake(), resolve));

/** A loop of its own: time passes by the millisecond, and while a commit keeps the loop busy no timer fires. */
class SlowDisk {
  readonly group: GroupCommit;
  nowMs = 0;

  constructor(slowMs: number) {
    vi.useFakeTimers({ toFake: ['setTimeout', 'setImmediate'] });
    vi.spyOn(performance, 'now').mockImplementation(() => this.nowMs);
    onTestFinished(() => {
      vi.useRealTimers();
      vi.restoreAllMocks();
    });
    this.group = new GroupCommit(() => {
      this.nowMs += slowMs;
      return slowMs;
    }, silentLog);
  }

  pass(forMs: number, eachMs: () => void): void {
    for (const endMs = this.nowMs + forMs; this.nowMs < endMs;) {
      eachMs();
      this.nowMs += 1;
      vi.advanceTimersByTime(1);
    }
  }
}

describe('group commit', () => {
  it('tells every sender only after the one commit that holds them all', async () => {
    const events: string[] = [];
    const group = new GroupCommit((intakes) => events.push(`commit ${intakes.length}`), silentLog);
    await Promise.all(
      [1, 2, 3].map(
        (n) =>
          new Promise<void>((done) => {
            group.add(anIntake(), () => {
              events.push(`ack ${n}`);
              done();
            });
          }),
      ),
    );
    expect(events).toEqual(['commit 3', 'ack 1', 'ack 2', 'ack 3']);
  });

  it('acknowledges nothing when the store fails, says so, counts it, and recovers without a restart', async () => {
    let broken = true;
    const group = new GroupCommit(() => {
      if (broken) throw new Error('disk full');
      return 0;
    }, silentLog);
    expect((await settled(group))?.message).toBe('disk full');
    expect(group.isStoring).toBe(false);
    expect(group.stats).toMatchObject({ commits: 0, failures: 1, refused: 1 });
    broken = false;
    expect(await settled(group)).toBeNull();
    expect(group.isStoring).toBe(true);
    expect(group.stats).toMatchObject({ commits: 1, failures: 1, refused: 1 });
  });

  it('finds out by itself that the store works again, without a message, and counts no message for it', async () => {
    let broken = true;
    const commits: number[] = [];
    const group = new GroupCommit((intakes) => {
      commits.push(intakes.length);
      if (broken) throw new Error('disk full');
      return 0;
    }, silentLog);
    await settled(group);
    await new Promise((resolve) => setTimeout(resolve, 1_300));
    expect(commits).toEqual([1, 0]);
    expect(group.isStoring).toBe(false);
    broken = false;
    await until('that it stores again', () => group.isStoring || null, 2_000);
    expect(commits).toEqual([1, 0, 0]);
    expect(group.stats).toMatchObject({ commits: 0, failures: 1, refused: 1 });
    await new Promise((resolve) => setTimeout(resolve, 1_300));
    expect(commits).toEqual([1, 0, 0]);
  });

  it('waits longer between commits when the disk is slow, so that the loop stays free', () => {
    const slowMs = 20;
    const disk = new SlowDisk(slowMs);
    const answeredMs: number[] = [];
    const add = (): unknown => disk.group.add(anIntake(), () => answeredMs.push(disk.nowMs));
    add();
    disk.pass(10, () => undefined);
    const sentMs = disk.nowMs;
    add();
    disk.pass(5 * slowMs, () => undefined);
    expect(answeredMs).toHaveLength(2);
    expect(answeredMs[1]).toBeGreaterThanOrEqual(sentMs + 5 * slowMs);
  });

  it.each([5, 20, 50])(
    'spends at most a quarter of the time in commits of %i ms, and keeps up with 1,000 messages a second',
    (slowMs) => {
      const disk = new SlowDisk(slowMs);
      let [sent, answered] = [0, 0];
      const send = (): void => {
        // what came while the loop was busy is taken up at once
        for (; sent < disk.nowMs; sent += 1) {
          disk.group.add(anIntake(), (error) => {
            if (error === null) answered += 1;
          });
        }
      };
      disk.pass(1_000, send);
      const [startMs, beforeMs] = [disk.nowMs, disk.group.stats.totalMs];
      disk.pass(10_000, send);
      const share = (disk.group.stats.totalMs - beforeMs) / (disk.nowMs - startMs);
      expect(share).toBeLessThanOrEqual(0.25);
      expect(share).toBeGreaterThan(0.1);
      disk.pass(500, () => undefined);
      expect(answered).toBe(sent);
      expect(sent).toBeGreaterThan(10_900);
    },
  );

  it('answers the others when one sender fails over its answer', async () => {
    const group = new GroupCommit(() => 0, silentLog);
    group.add(anIntake(), () => {
      throw new Error('a sender that is gone');
    });
    expect(await settled(group)).toBeNull();
  });

  it('asks senders to hold back when more is waiting than a slow disk explains', () => {
    const group = new GroupCommit(() => 0, silentLog);
    const answers = Array.from({ length: 10_000 }, () => group.add(anIntake(), () => undefined));
    expect(answers.slice(0, -1)).toEqual(answers.slice(0, -1).map(() => true));
    expect(answers.at(-1)).toBe(false);
    group.flush();
    expect(group.add(anIntake(), () => undefined)).toBe(true);
  });
});
