import { describe, expect, it } from 'vitest';
import { REASON, type IncomingReading } from '../../server/contract/reading.ts';
import { admit } from '../../server/runtime/admit.ts';

const NOW = 1_760_000_000_000;
const aReading = (atMs: number, over: Partial<IncomingReading> = {}): IncomingReading => ({
  sensorId: 'left',
  tempC: 63,
  atMs,
  receivedMs: NOW,
  quality: 1,
  reasons: 0,
  timeSource: 'device',
  ...over,
});

describe('admitting a reading', () => {
  it('believes a device whose clock is right or a little behind', () => {
    for (const ageMs of [0, 5_000, 3_600_000, 23 * 3_600_000]) {
      expect(admit(aReading(NOW - ageMs), NOW)).toEqual(aReading(NOW - ageMs));
    }
  });

  it('counts a reading from the future as suspect and as measured on arrival', () => {
    const admitted = admit(aReading(NOW + 60_000), NOW);
    expect(admitted).toMatchObject({ atMs: NOW, quality: 3, reasons: REASON.clock });
  });

  it('takes the time of arrival for a board that has no clock', () => {
    expect(admit(aReading(86_400_000), NOW)).toMatchObject({ atMs: NOW, quality: 1, reasons: REASON.clock });
  });

  it('keeps a reading of another day as history that is suspect', () => {
    const old = NOW - 25 * 3_600_000;
    expect(admit(aReading(old), NOW)).toMatchObject({ atMs: old, quality: 3 });
  });

  it('never makes a bad reading better', () => {
    for (const quality of [3, 4, 9] as const) {
      expect(admit(aReading(NOW + 60_000, { quality }), NOW).quality).toBe(quality);
    }
  });
});
