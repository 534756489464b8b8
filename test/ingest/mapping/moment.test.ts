import { describe, expect, it } from 'vitest';
import { localTimeMs } from '../../../server/ingest/mapping/local-time.ts';
import { autoEpochMs, momentOf } from '../../../server/ingest/mapping/moment.ts';

const NOW_MS = 1_760_000_000_000;
type Form = Parameters<typeof momentOf>[0]['as'];

function read(as: Exclude<Form, 'local'>, value: unknown) {
  return momentOf({ as, at: '/t' }, value, NOW_MS);
}

describe('a time field', () => {
  it.each([
    ['epoch-s', 1_759_999_990.25, 1_759_999_990_250],
    ['epoch-s', ' 1759999990 ', 1_759_999_990_000],
    ['epoch-s', 12, 12_000],
    ['epoch-ms', 1_759_999_990_250, 1_759_999_990_250],
    ['epoch-us', 1_759_999_990_250_000, 1_759_999_990_250],
    ['auto-epoch', 1_760_000_000, NOW_MS],
    ['auto-epoch', 1_760_000_000_000, NOW_MS],
    ['auto-epoch', 1_760_000_000_000_000, NOW_MS],
    ['rfc3339', '2026-10-25T02:30:00+01:00', 1_792_891_800_000],
    ['rfc3339', '2026-10-25T00:30:00Z', 1_792_888_200_000],
    // RFC 3339 (2002) section 5.8
    ['rfc3339', '1985-04-12T23:20:50.52Z', 482_196_050_520],
    // RFC 3339 section 5.6: T and Z may be small letters
    ['rfc3339', '2026-10-25t02:30:00z', 1_792_895_400_000],
  ] as const)('of the device: %s %j', (as, value, atMs) => {
    expect(read(as, value)).toEqual({ atMs, timeSource: 'device' });
  });

  it.each([
    ['age-s', 4, NOW_MS - 4_000],
    ['age-s', 0.25, NOW_MS - 250],
    ['age-ms', 1_500, NOW_MS - 1_500],
    ['age-ms', '0', NOW_MS],
  ] as const)('that is an age counts back from arrival: %s %j', (as, value, atMs) => {
    expect(read(as, value)).toEqual({ atMs, timeSource: 'age' });
  });

  it.each([
    ['uptime-s', 12.5, 12_500],
    ['uptime-ms', 4_294_967_295, 4_294_967_295],
    ['uptime-ms', 0, 0],
  ] as const)('that counts from switching on stays a count: %s %j', (as, value, atMs) => {
    expect(read(as, value)).toEqual({ atMs, timeSource: 'uptime' });
  });

  it.each([
    ['epoch-s', 'bad'],
    ['epoch-s', ''],
    ['epoch-s', -1],
    ['epoch-s', true],
    ['epoch-s', [1]],
    ['epoch-s', 1_759_999_990_250],
    ['epoch-us', 1e300],
    ['auto-epoch', 12_345],
    ['auto-epoch', 1e17],
    ['age-s', -4],
    ['age-s', 1_760_000_000],
    ['age-ms', 'soon'],
    ['uptime-ms', 1_760_000_000_000],
    ['uptime-s', null],
    ['rfc3339', 1_760_000_000],
    ['rfc3339', '2026-10-25T02:30:00'],
    ['rfc3339', '2026-02-29T00:00:00Z'],
    ['rfc3339', '2026-10-25T24:00:00Z'],
    ['rfc3339', '2026-10-25'],
  ] as const)('that cannot be read is no moment: %s %j', (as, value) => {
    expect(read(as, value)).toBeNull();
  });

  it('is told by its size alone only where no two forms can be meant', () => {
    expect([1e8 - 1, 1e8, 1e11, 1e14, 1e17].map(autoEpochMs)).toEqual([null, 1e11, 1e11, 1e11, null]);
  });
});

describe('a local time without an offset', () => {
  // Directive 2000/84/EC (from memory): summer time ends at 01:00 UTC on the last Sunday of October and begins so in March
  it.each([
    ['2026-07-01T12:00:00', Date.UTC(2026, 6, 1, 10)],
    ['2026-12-01 12:00', Date.UTC(2026, 11, 1, 11)],
    ['2026-10-25T01:59:59.5', Date.UTC(2026, 9, 24, 23, 59, 59, 500)],
    ['2026-10-25T03:00:00', Date.UTC(2026, 9, 25, 2)],
    ['2026-03-29T01:59:59', Date.UTC(2026, 2, 29, 0, 59, 59)],
    ['2026-03-29T03:00:00', Date.UTC(2026, 2, 29, 1)],
  ])('is read by the clocks of its zone: %s', (text, atMs) => {
    expect(localTimeMs(text, 'Europe/Berlin')).toBe(atMs);
  });

  it('means the earlier hour of the two when clocks are put back', () => {
    expect(localTimeMs('2026-10-25T02:30:00', 'Europe/Berlin')).toBe(Date.UTC(2026, 9, 25, 0, 30));
    // Energy Policy Act of 2005 (from memory): first Sunday of November, 02:00 local time
    expect(localTimeMs('2026-11-01T01:30:00', 'America/New_York')).toBe(Date.UTC(2026, 10, 1, 5, 30));
  });

  it('is none in the hour that is left out when clocks are put forward', () => {
    expect(localTimeMs('2026-03-29T02:30:00', 'Europe/Berlin')).toBeNull();
  });

  it('is read in zones far from Greenwich, and with half hours', () => {
    expect(localTimeMs('2026-01-01T00:30', 'Pacific/Kiritimati')).toBe(Date.UTC(2025, 11, 31, 10, 30));
    expect(localTimeMs('2026-01-01T00:30', 'Asia/Kolkata')).toBe(Date.UTC(2025, 11, 31, 19));
  });

  it.each([
    '2026-10-25T02:30:00Z',
    '2026-10-25',
    '2026-02-30T10:00',
    '2026-13-01T10:00',
    '2026-01-01T24:00',
    '0026-01-01T10:00',
    'now',
  ])('is none: %s', (text) => {
    expect(localTimeMs(text, 'Europe/Berlin')).toBeNull();
  });

  it('comes into a message through its rule', () => {
    const spec = { as: 'local', at: '/t', zone: 'Europe/London' } as const;
    expect(momentOf(spec, '2026-07-01 12:00', NOW_MS)).toEqual({
      atMs: Date.UTC(2026, 6, 1, 11),
      timeSource: 'device',
    });
    expect(momentOf(spec, 1_760_000_000, NOW_MS)).toBeNull();
  });
});
