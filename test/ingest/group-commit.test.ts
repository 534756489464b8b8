import { describe, expect, it } from 'vitest';
import { GroupCommit } from '../../server/ingest/group-commit.ts';
import type { Intake } from '../../server/ports.ts';
import { silentLog } from '../support/silent-log.ts';
import { until } from '../support/until.ts';

const anIntake = (): Intake => ({ readings: [], sides: [], unplugged: [], rejects: [], delivery: null });
const settled = (group: GroupCommit): Promise<Error | null> =>
  new Promise((resolve) => group.add(anIntake(), resolve));

/** Commits that keep the loop busy as long as a slow disk would. */
function slowDisk(slowMs: number): GroupCommit {
  return new GroupCommit(() => {
    const until = performance.now() + slowMs;
    while (performance.now() < until);
    return slowMs;
  }, silentLog);
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

  it('waits longer between commits when the disk is slow, so that the loop stays free', async () => {
    const slowMs = 20;
    const group = slowDisk(slowMs);
    await settled(group);
    const startMs = performance.now();
    await settled(group);
    expect(performance.now() - startMs).toBeGreaterThan(4 * slowMs);
  });

  it.each([5, 20, 50])(
    'spends at most a quarter of the time in commits of %i ms, and keeps up with 1,000 messages a second',
    { timeout: 20_000 },
    async (slowMs) => {
      const group = slowDisk(slowMs);
      await settled(group);
      const before = group.stats.totalMs;
      const startMs = performance.now();
      const answers: Promise<Error | null>[] = [];
      let sent = 0;
      while (performance.now() - startMs < 2_000) {
        const due = Math.floor(performance.now() - startMs);
        for (; sent < due; sent += 1) answers.push(settled(group));
        await new Promise((resolve) => setTimeout(resolve, 5));
      }
      const share = (group.stats.totalMs - before) / (performance.now() - startMs);
      expect(await Promise.all(answers)).toEqual(answers.map(() => null));
      expect(share).toBeLessThanOrEqual(0.25);
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
