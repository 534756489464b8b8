import { describe, expect, it } from 'vitest';
import { withPushed } from '../../web/newest-readings.ts';
import { sensorNow } from '../../web/views/probes/live-sensors.ts';
import { probeNews } from '../../web/probe-words.ts';
import { FIVE_PM_MS, aSensor } from '../support/plans.ts';

const pushed = (over: Partial<{ tempC: number; atMs: number; quality: number }> = {}) => ({
  sensorId: 'core-1',
  tempC: 24.2,
  atMs: FIVE_PM_MS + 1_000,
  quality: 1,
  ...over,
});
const since = (over: Partial<Parameters<typeof sensorNow>[1]> = {}) => ({
  pushed: undefined,
  elapsedMs: 2_000,
  nowMs: FIVE_PM_MS + 4_000,
  ...over,
});

describe('a probe between two questions to the server', () => {
  it('grows older by itself, so that it does not stay live while nobody answers', () => {
    const sensor = sensorNow(aSensor({ ageMs: 59_000 }), since({ nowMs: 0 }));
    expect(sensor.ageMs).toBe(61_000);
    expect(probeNews(sensor).kind).toBe('old');
  });

  it('is as old as the clock of the server says, whatever was answered', () => {
    const now = since({ nowMs: FIVE_PM_MS + 61_000 });
    expect(probeNews(sensorNow(aSensor({ ageMs: 0 }), now)).kind).toBe('old');
    const ahead = aSensor({ ageMs: 0, lastAtMs: FIVE_PM_MS + 3_600_000 });
    expect(probeNews(sensorNow(ahead, now)).kind).toBe('ahead');
  });

  it('shows a reading that was pushed since then', () => {
    expect(sensorNow(aSensor(), since({ pushed: pushed() }))).toMatchObject({
      lastValueC: 24.2,
      lastAtMs: FIVE_PM_MS + 1_000,
      ageMs: 3_000,
    });
  });

  it('does not go back to an older pushed reading', () => {
    const late = pushed({ atMs: FIVE_PM_MS - 5_000 });
    expect(sensorNow(aSensor(), since({ pushed: late })).lastValueC).toBe(21.4);
  });

  it('believes no pushed reading while the clock of the server is not known', () => {
    expect(sensorNow(aSensor(), since({ pushed: pushed(), nowMs: 0 })).lastValueC).toBe(21.4);
  });

  it('does not make a probe live that was never heard', () => {
    expect(sensorNow(aSensor({ ageMs: null, lastValueC: null }), since()).ageMs).toBeNull();
  });
});

describe('pushed readings', () => {
  it('are kept by sensor, the newest of each', () => {
    const first = withPushed(new Map(), [pushed(), { ...pushed(), sensorId: 'bag' }]);
    const next = withPushed(first, [
      pushed({ atMs: FIVE_PM_MS, tempC: 1 }),
      { ...pushed(), sensorId: 'pot' },
    ]);
    expect([...next.keys()].sort()).toEqual(['bag', 'core-1', 'pot']);
    expect(next.get('core-1')?.tempC).toBe(24.2);
  });
});
