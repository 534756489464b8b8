import { describe, expect, it } from 'vitest';
import { GroupCommit } from '../../server/ingest/group-commit.ts';
import type { Intake } from '../../server/ports.ts';
import { silentLog } from '../support/silent-log.ts';

const anIntake = (): Intake => ({ readings: [], rejects: [], delivery: null });
const settled = (group: GroupCommit): Promise<Error | null> =>
  new Promise((resolve) => group.add(anIntake(), resolve));

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

  it('acknowledges nothing when the store fails, says so, and recovers without a restart', async () => {
    let broken = true;
    const group = new GroupCommit(() => {
      if (broken) throw new Error('disk full');
    }, silentLog);
    expect((await settled(group))?.message).toBe('disk full');
    expect(group.isStoring).toBe(false);
    broken = false;
    expect(await settled(group)).toBeNull();
    expect(group.isStoring).toBe(true);
  });

  it('waits longer between commits when the disk is slow, so that the loop stays free', async () => {
    const slowMs = 20;
    const group = new GroupCommit(() => {
      const until = performance.now() + slowMs;
      while (performance.now() < until);
    }, silentLog);
    await settled(group);
    const startMs = performance.now();
    await settled(group);
    expect(performance.now() - startMs).toBeGreaterThan(4 * slowMs);
  });
});
