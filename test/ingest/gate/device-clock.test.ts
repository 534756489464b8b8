import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { REASON, type IncomingReading } from '../../../server/contract/reading.ts';
import { DeviceClock } from '../../../server/ingest/gate/device-clock.ts';
import { aReading, Heard, NOW_MS } from './readings.ts';

const HOUR_MS = 3_600_000;

/** Readings every ten seconds of a device that is behind by so much; each arrives after a delay. */
function behindBy(heard: Heard, behindMs: number, delaysMs: readonly number[]): IncomingReading[] {
  return delaysMs.map((delayMs) => {
    heard.nowMs += heard.everyMs;
    const receivedMs = heard.nowMs + delayMs;
    return heard.take(aReading(60, heard.nowMs - behindMs, { receivedMs }));
  });
}
const times = (n: number, delayMs = 100): number[] => Array.from({ length: n }, () => delayMs);

describe('the clock of a device', () => {
  it('that is right or a little off is used as it is', () => {
    for (const behindMs of [0, 1_900, 2_300, -1_900, -2_900]) {
      const heard = new Heard();
      for (const reading of behindBy(heard, behindMs, times(60))) {
        expect(reading).toMatchObject({ quality: 1, reasons: 0 });
      }
      expect(heard.gate.clockOf('left').kind).toBe('good');
    }
  });

  it('that is off is found by the message that was least late: 3.2, 3.0, 3.4, 3.1 s are 3.0 s', () => {
    const clock = new DeviceClock();
    [3_200, 3_000, 3_400, 3_100].forEach((offsetMs, i) => {
      const receivedMs = NOW_MS + i * 10_000;
      clock.place(receivedMs - offsetMs, receivedMs);
    });
    expect(clock.view()).toEqual({ kind: 'off', behindMs: 3_000 });
  });

  it.each([HOUR_MS, 90_000, 2_600])(
    'that is behind by %d ms is corrected after three readings, and said to be off',
    (ms) => {
      const heard = new Heard();
      const row = behindBy(heard, ms, [100, 400, 200, 100, 300, 200]);
      const last = row.at(-1)!;
      expect(Math.abs(last.atMs - heard.nowMs)).toBeLessThan(1_500);
      expect(last).toMatchObject({ quality: 1, reasons: REASON.clock });
      expect(heard.gate.clockOf('left').kind).toBe('off');
      expect(heard.gate.clockOf('left').behindMs).toBeGreaterThanOrEqual(ms);
    },
  );

  it('that is ahead gives arrival times that are suspect until it is known by how much', () => {
    const heard = new Heard();
    const row = behindBy(heard, -60_000, times(6));
    expect(row[0]).toMatchObject({
      quality: 3,
      reasons: REASON.clock,
      timeSource: 'arrival',
      atMs: row[0]!.receivedMs,
    });
    expect(row.at(-1)).toMatchObject({ quality: 1, reasons: REASON.clock, timeSource: 'device' });
    expect(Math.abs(row.at(-1)!.atMs - heard.nowMs)).toBeLessThan(1_500);
  });

  it('is not doubted because of one reading from the future', () => {
    const heard = new Heard();
    behindBy(heard, 0, times(20));
    expect(behindBy(heard, -HOUR_MS, [100])[0]).toMatchObject({ quality: 3, reasons: REASON.clock });
    expect(behindBy(heard, 0, times(3)).map((r) => r.reasons)).toEqual([0, 0, 0]);
  });

  it('that jumps is not used: arrival times, suspect', () => {
    const heard = new Heard();
    const row = [0, 7, -2, 11, 3, -5, 9, 1, 14, -8, 6, 2, 12, -3, 8, 4, 13, 0, 10, 5].map(
      (hours) => behindBy(heard, hours * HOUR_MS, [100])[0]!,
    );
    expect(heard.gate.clockOf('left')).toEqual({ kind: 'jumping', behindMs: null });
    expect(row.at(-1)).toMatchObject({ quality: 3, reasons: REASON.clock, timeSource: 'arrival' });
    expect(row.at(-1)!.atMs).toBe(row.at(-1)!.receivedMs);
  });

  it('that ran away and was set right is believed again', () => {
    const heard = new Heard();
    behindBy(heard, HOUR_MS, times(60));
    const row = behindBy(heard, 0, times(120));
    expect(row.at(-1)).toMatchObject({ quality: 1, reasons: 0, atMs: heard.nowMs });
    expect(heard.gate.clockOf('left').kind).toBe('good');
  });

  it('before 2020 is none', () => {
    const heard = new Heard();
    const reading = heard.take(aReading(60, 86_400_000, { receivedMs: NOW_MS }));
    expect(reading).toMatchObject({ atMs: NOW_MS, quality: 1, reasons: REASON.clock, timeSource: 'arrival' });
    expect(heard.gate.clockOf('left')).toEqual({ kind: 'none', behindMs: null });
  });

  it('of a day ago is kept as history that is suspect', () => {
    const old = NOW_MS - 25 * HOUR_MS;
    expect(new Heard().take(aReading(60, old, { receivedMs: NOW_MS }))).toMatchObject({
      atMs: old,
      quality: 3,
      reasons: REASON.clock,
    });
  });
});

describe('readings that were kept back', () => {
  const backlog = (heard: Heard, count: number, paceMs = 20): IncomingReading[] => {
    const firstMs = heard.nowMs - count * 10_000;
    return Array.from({ length: count }, (_, i) => {
      heard.nowMs += paceMs;
      return heard.take(aReading(60, firstMs + i * 10_000, { receivedMs: heard.nowMs }));
    });
  };

  it.each([20, 500])('keep their own times after an outage, one every %d ms', (paceMs) => {
    const heard = new Heard();
    behindBy(heard, 0, times(30));
    heard.nowMs += 10 * 60_000;
    const firstMs = heard.nowMs - 59 * 10_000;
    backlog(heard, 59, paceMs).forEach((reading, i) => {
      expect(reading).toMatchObject({
        quality: 1,
        timeSource: 'device',
        reasons: 0,
        atMs: firstMs + i * 10_000,
      });
    });
    expect(heard.gate.clockOf('left').kind).toBe('good');
  });

  it('are no offset although they are the first that is heard of a board', () => {
    const heard = new Heard();
    heard.nowMs += HOUR_MS;
    const first = backlog(heard, 360);
    expect(first.map((r) => r.atMs)).toEqual(first.map((_, i) => NOW_MS + i * 10_000));
    const live = behindBy(heard, 0, times(10));
    expect(live.every((r) => r.reasons === 0 && r.quality === 1)).toBe(true);
    expect(heard.gate.clockOf('left').kind).toBe('good');
  });

  it('between live ones are late and change nothing about the clock', () => {
    const heard = new Heard();
    behindBy(heard, 0, times(10));
    for (let i = 0; i < 100; i += 1) {
      const old = heard.take(aReading(60, NOW_MS - HOUR_MS + i * 10_000, { receivedMs: heard.nowMs + 50 }));
      expect(old).toMatchObject({ quality: 1, reasons: REASON.late, atMs: NOW_MS - HOUR_MS + i * 10_000 });
      expect(behindBy(heard, 0, [100])[0]!.reasons).toBe(0);
    }
  });

  it('and a slow network, up to ten seconds late, is not a wrong clock', () => {
    const heard = new Heard();
    const delays = Array.from({ length: 300 }, (_, i) => (i * 7919) % 10_000);
    for (const reading of behindBy(heard, 0, delays).slice(20)) {
      expect(reading.reasons & REASON.clock).toBe(0);
    }
  });
});

describe('a message that comes twice', () => {
  it('gets the same time twice, whatever was learnt of the clock between', () => {
    for (const behindMs of [0, HOUR_MS, 20_000]) {
      const heard = new Heard();
      const sent: IncomingReading[] = [];
      const got: IncomingReading[] = [];
      for (let i = 0; i < 200; i += 1) {
        heard.nowMs += 10_000;
        // the clock drifts by two thousandths: four seconds more at the end
        const deviceMs = heard.nowMs - behindMs - i * 20;
        sent.push(aReading(60, deviceMs, { receivedMs: heard.nowMs + ((i * 37) % 400) }));
        got.push(heard.take(sent.at(-1)!));
        if (i % 20 !== 7) continue;
        // the link broke: the last five come again
        for (let j = i - 4; j <= i; j += 1) {
          const again = heard.take({ ...sent[j]!, receivedMs: heard.nowMs + 500 });
          expect(again.atMs).toBe(got[j]!.atMs);
        }
      }
      expect(heard.gate.clockOf('left').kind).toBe('off');
    }
  });
});

describe('a reading that arrives within two seconds of its own time', () => {
  const anyMessage = fc.record({
    stepMs: fc.integer({ min: 0, max: 30_000 }),
    // what the device is behind, and how long its message takes
    behindMs: fc.oneof(
      fc.integer({ min: -9_000, max: 9_000 }),
      fc.constantFrom(0, -2_500, 2_100, HOUR_MS, -HOUR_MS),
    ),
    delayMs: fc.oneof(fc.integer({ min: 0, max: 2_500 }), fc.integer({ min: 0, max: 60_000 })),
    againMs: fc.option(fc.integer({ min: 0, max: 120_000 })),
  });

  it('keeps that time whatever is known of the clock, and is one reading when it is sent again', () => {
    fc.assert(
      fc.property(fc.array(anyMessage, { minLength: 1, maxLength: 80 }), (messages) => {
        const heard = new Heard();
        for (const { stepMs, behindMs, delayMs, againMs } of messages) {
          heard.nowMs += stepMs;
          const sent = aReading(60, heard.nowMs - behindMs, { receivedMs: heard.nowMs + delayMs });
          const first = heard.take(sent);
          if (Math.abs(sent.receivedMs - sent.atMs) > 2_000) continue;
          expect(first).toMatchObject({ atMs: sent.atMs, timeSource: 'device' });
          if (againMs === null) continue;
          const again = { ...sent, receivedMs: sent.receivedMs + againMs };
          const isMarked = false; // a message that came in time has no mark
          expect(heard.takeAgain(again, { isMarked }).atMs).toBe(sent.atMs);
        }
      }),
      { numRuns: 500 },
    );
  });

  it.each([
    ['ahead by 2.5 s', -2_500],
    ['behind by 1.9 s', 1_900],
  ])('is not late beside its neighbours, of which some come later than that: a clock %s', (_, behindMs) => {
    const heard = new Heard('core', 1_000);
    const delays = Array.from({ length: 600 }, (__, i) => 50 + ((i * 7919) % 900));
    const row = behindBy(heard, behindMs, delays).slice(60);
    expect(new Set(row.map((r) => r.reasons))).toEqual(new Set([0]));
  });
});

describe('a device that counts since it was switched on', () => {
  const counted = (heard: Heard, countMs: number): IncomingReading =>
    heard.take(aReading(60, countMs, { receivedMs: heard.nowMs, timeSource: 'uptime' }));

  it('is placed by the message that was least late, and goes on over the end of its counter: 4294967290 to 10 is 16 ms', () => {
    const heard = new Heard();
    const before = counted(heard, 4_294_967_290);
    heard.nowMs += 16;
    const after = counted(heard, 10);
    expect(after.atMs - before.atMs).toBe(16);
    expect(after).toMatchObject({ quality: 1, timeSource: 'uptime' });
    expect(2 ** 32 / 86_400_000).toBeCloseTo(49.7103, 4);
  });

  it('begins anew when it was switched off and on', () => {
    const heard = new Heard();
    for (let i = 1; i <= 5; i += 1) {
      heard.nowMs += 10_000;
      counted(heard, 100_000 + i * 10_000);
    }
    heard.nowMs += 60_000;
    const reading = counted(heard, 4_000);
    expect(Math.abs(reading.atMs - heard.nowMs)).toBeLessThanOrEqual(1_000);
  });

  it('keeps the times of what was kept back, and of a message that comes twice', () => {
    const heard = new Heard();
    const first = counted(heard, 100_000);
    heard.nowMs += 120_000;
    const held = Array.from({ length: 11 }, (_, i) => counted(heard, 110_000 + i * 10_000));
    expect(held.map((r) => r.atMs - first.atMs)).toEqual(held.map((_, i) => 10_000 + i * 10_000));
    expect(counted(heard, 110_000).atMs).toBe(held[0]!.atMs);
  });

  it.each([
    ['to the same number, once a minute', 60_000, () => 3_000],
    ['to about the same number, once a minute', 60_000, (i: number) => 3_000 + ((i * 17) % 41) - 20],
    ['to ever more, once a minute', 60_000, (i: number) => 3_000 + i],
    ['to the same number, every two seconds', 2_000, () => 1_500],
    ['in whole seconds, every five minutes', 300_000, (i: number) => 1_000 * (2 + (i % 3))],
  ])('anew at each waking, %s, has every reading at its time', (_, everyMs, countOf) => {
    const heard = new Heard('cooler');
    for (let i = 0; i < 120; i += 1) {
      heard.nowMs += everyMs;
      const reading = counted(heard, countOf(i));
      expect(Math.abs(reading.atMs - heard.nowMs)).toBeLessThanOrEqual(1_000);
      expect(reading.reasons & REASON.late).toBe(0);
    }
    expect(heard.store.byTime.size).toBe(120);
  });

  it('loses nothing of what was kept back from before it was first heard, although it lands late', () => {
    const heard = new Heard('cooler');
    for (let i = 1; i <= 50; i += 1) counted(heard, i * 10_000);
    heard.nowMs += 10_000;
    expect(Math.abs(counted(heard, 510_000).atMs - heard.nowMs)).toBeLessThanOrEqual(1_000);
    expect(heard.store.byTime.size).toBe(51);
  });

  it('and was out of reach for longer than it had been on loses nothing either', () => {
    const heard = new Heard('cooler');
    counted(heard, 5_000);
    heard.nowMs += 600_000;
    for (let i = 1; i <= 60; i += 1) counted(heard, 5_000 + i * 10_000);
    heard.nowMs += 10_000;
    expect(Math.abs(counted(heard, 615_000).atMs - heard.nowMs)).toBeLessThanOrEqual(1_000);
    expect(heard.store.byTime.size).toBe(62);
  });

  it('and whose messages take from nothing to ten seconds has them in order and none too early', () => {
    const heard = new Heard('cooler');
    for (let i = 1; i <= 100; i += 1) {
      heard.nowMs = NOW_MS + i * 10_000 + ((i * 7919) % 10_000);
      const { atMs, reasons } = counted(heard, i * 10_000);
      expect(reasons & REASON.late).toBe(0);
      expect(atMs).toBeGreaterThanOrEqual(NOW_MS + i * 10_000 - 1_000);
      expect(atMs).toBeLessThanOrEqual(heard.nowMs + 1_000);
    }
    expect(heard.store.byTime.size).toBe(100);
  });
});

describe('readings without any time', () => {
  it('that arrive in the same millisecond are told apart by one more', () => {
    const heard = new Heard();
    const row = [3, 4, 5].map((tempC) => heard.take(aReading(tempC, NOW_MS, { timeSource: 'arrival' })));
    expect(row.map((r) => r.atMs - NOW_MS)).toEqual([0, 1, 2]);
    expect(row.every((r) => r.reasons === 0)).toBe(true);
  });
});

describe('a server clock that was moved', () => {
  it('makes nothing late and no clock wrong', () => {
    const heard = new Heard();
    behindBy(heard, 0, times(30));
    heard.nowMs -= HOUR_MS;
    heard.gate.serverClockStepped();
    expect(heard.gate.clockOf('left')).toEqual({ kind: 'none', behindMs: null });
    expect(behindBy(heard, 0, times(3)).map((r) => r.reasons)).toEqual([0, 0, 0]);
  });
});
