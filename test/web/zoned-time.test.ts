import { describe, expect, it } from 'vitest';
import { localTime, zonedTime } from '../../web/form/zoned-time.ts';

const atUtc = (text: string): number => Date.parse(text);

describe('a clock time typed by the cook', () => {
  // Rules of the IANA time zone database, zone Europe/London: British Summer Time is UTC+1 from 01:00 UTC on the last
  // Sunday of March to 01:00 UTC on the last Sunday of October (file `europe`, rules since 1996; from memory).
  it('means the time on the wall where the cookout is', () => {
    expect(zonedTime({ date: '2026-09-19', clock: '18:30' }, 'Europe/London')).toEqual({
      ok: true,
      atMs: atUtc('2026-09-19T17:30:00Z'),
    });
    expect(zonedTime({ date: '2026-12-19', clock: '18:30' }, 'Europe/London')).toEqual({
      ok: true,
      atMs: atUtc('2026-12-19T18:30:00Z'),
    });
  });

  it('is the first of the two when the clocks go back', () => {
    expect(zonedTime({ date: '2026-10-25', clock: '01:30' }, 'Europe/London')).toEqual({
      ok: true,
      atMs: atUtc('2026-10-25T00:30:00Z'),
    });
  });

  it('does not exist while the clocks go forward', () => {
    expect(zonedTime({ date: '2026-03-29', clock: '01:30' }, 'Europe/London').ok).toBe(false);
    expect(zonedTime({ date: '2026-03-29', clock: '02:00' }, 'Europe/London')).toEqual({
      ok: true,
      atMs: atUtc('2026-03-29T01:00:00Z'),
    });
  });

  // IANA time zone database, zone Asia/Kathmandu: UTC+5:45 since 1986. Zone Pacific/Auckland: UTC+13 in summer
  // (both from memory).
  it('works with zones that are not whole hours from UTC, and across the date line', () => {
    expect(zonedTime({ date: '2026-09-19', clock: '00:15' }, 'Asia/Kathmandu')).toEqual({
      ok: true,
      atMs: atUtc('2026-09-18T18:30:00Z'),
    });
    expect(zonedTime({ date: '2026-12-31', clock: '23:59' }, 'Pacific/Auckland')).toEqual({
      ok: true,
      atMs: atUtc('2026-12-31T10:59:00Z'),
    });
  });

  it('comes back as it was typed, at every half hour of a day with a change of clocks', () => {
    for (let half = 0; half < 48; half += 1) {
      const clock = `${String(Math.floor(half / 2)).padStart(2, '0')}:${half % 2 === 0 ? '00' : '30'}`;
      const at = zonedTime({ date: '2026-10-25', clock }, 'Europe/London');
      expect(at.ok && localTime(at.atMs, 'Europe/London')).toEqual({ date: '2026-10-25', clock });
    }
  });

  it.each([
    { date: '2026-02-30', clock: '18:30' },
    { date: '2026-13-01', clock: '18:30' },
    { date: '2026-09-19', clock: '24:00' },
    { date: '2026-09-19', clock: '18:60' },
    { date: '2026-09-19', clock: 'six' },
    { date: '', clock: '18:30' },
  ])('is refused when it is on no clock or no calendar: $date $clock', (local) => {
    expect(zonedTime(local, 'Europe/London').ok).toBe(false);
  });

  it('is refused when the time zone is not known', () => {
    expect(zonedTime({ date: '2026-09-19', clock: '18:30' }, 'Allotment/Larch_Lane').ok).toBe(false);
  });
});
