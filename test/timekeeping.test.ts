import { describe, expect, it } from 'vitest';
import { parseConfig } from '../server/config.ts';
import type { Outage } from '../server/ports.ts';
import { keepTime } from '../server/timekeeping.ts';
import { QualityGate } from '../server/ingest/gate/quality-gate.ts';
import { silentLog } from './support/silent-log.ts';

const HOUR_MS = 3_600_000;

function start(newestMs: number | null) {
  const parsed = parseConfig({});
  if (!parsed.ok) throw new Error(parsed.problems.join());
  const outages: Outage[] = [];
  const time = keepTime(parsed.config, { get: () => null, set: () => undefined }, newestMs);
  time.watch({
    outages: { add: (outage) => void outages.push(outage) },
    gate: new QualityGate(),
    log: silentLog,
    isCooking: () => true,
  });
  time.stop();
  return { nowMs: time.clock.nowMs(), outages };
}

describe('the time at the start', () => {
  it('is never before the newest reading, as on a board without a clock, and the record says so', () => {
    const newestMs = Date.now() + HOUR_MS;
    const { nowMs, outages } = start(newestMs);
    expect(nowMs).toBeGreaterThan(newestMs);
    expect(nowMs).toBeLessThan(newestMs + 10_000);
    expect(outages).toMatchObject([
      { kind: 'clock-stepped', detail: expect.stringContaining('3600 s behind') as string },
    ]);
  });

  it('is that of the computer otherwise', () => {
    for (const newestMs of [null, Date.now() - HOUR_MS]) {
      const { nowMs, outages } = start(newestMs);
      expect(Math.abs(nowMs - Date.now())).toBeLessThan(1_000);
      expect(outages).toEqual([]);
    }
  });
});
