import { describe, expect, it } from 'vitest';
import { payloadTimeMs } from '../../server/ingest/payload-time.ts';

describe('times in payloads', () => {
  // RFC 3339 (2002) section 5.8, the standard's own examples
  it.each([
    ['1985-04-12T23:20:50.52Z', 482196050520],
    ['1996-12-19T16:39:57-08:00', 851042397000],
    ['1990-12-31T23:59:60Z', 662688000000],
    ['1990-12-31T15:59:60-08:00', 662688000000],
    ['1937-01-01T12:00:27.87+00:20', -1041337172130],
  ])('reads %s', (text, ms) => {
    expect(payloadTimeMs(text)).toBe(ms);
  });

  it('takes a year before 100 as it is written, and small letters', () => {
    expect(new Date(payloadTimeMs('0050-03-01T00:00:00Z')!).toISOString()).toBe('0050-03-01T00:00:00.000Z');
    // section 5.6, note: "T" and "Z" may be in lower case
    expect(payloadTimeMs('2026-10-25t02:30:00z')).toBe(1792895400000);
  });

  it.each([
    '2026-10-25T10:00:00+24:00',
    '2026-10-25T10:00:00-01:60',
    '2026-13-01T00:00:00Z',
    '2026-00-10T00:00:00Z',
    '2026-04-31T00:00:00Z',
    '2026-04-00T00:00:00Z',
    '2026-02-29T10:00:00Z',
    '2026-01-01T24:00:00Z',
    '2026-01-01T10:00:00',
    '2026-01-01',
    '',
    'now',
  ])('refuses %s', (text) => {
    expect(payloadTimeMs(text)).toBeNull();
  });

  it('tells epoch seconds from epoch milliseconds and refuses what is neither', () => {
    expect(payloadTimeMs(1_760_000_000)).toBe(1_760_000_000_000);
    expect(payloadTimeMs(1_760_000_000_000)).toBe(1_760_000_000_000);
    expect(payloadTimeMs(1_760_000_000_000_000)).toBeNull();
    expect(payloadTimeMs(12_345)).toBeNull();
    expect(payloadTimeMs(NaN)).toBeNull();
  });
});
