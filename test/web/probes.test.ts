import { describe, expect, it } from 'vitest';
import { FRESH_MS, newsText, probeNews, probeOption, qualityText } from '../../web/probe-words.ts';
import { checkPassphrase } from '../../web/views/passphrase-draft.ts';
import { movePatches, seatWords, seatsOf } from '../../web/views/probes/seat-probe.ts';
import { aBatch, aDetail, aPlace, aSensor } from '../support/plans.ts';

describe('the newest value of a probe', () => {
  it('is live for one minute and old after it', () => {
    expect(probeNews(aSensor({ ageMs: FRESH_MS }))).toMatchObject({ kind: 'live' });
    expect(probeNews(aSensor({ ageMs: FRESH_MS + 1 }))).toMatchObject({ kind: 'old' });
  });

  it.each([
    [{ lastValueC: null, ageMs: 10 }, 'never'],
    [{ lastValueC: 4, ageMs: null }, 'never'],
    [{ lastValueC: 4, ageMs: Number.NaN }, 'never'],
    [{ lastValueC: 4, ageMs: -60_000 }, 'ahead'],
    [{ reasons: ['retained' as const], quality: 3 }, 'kept'],
    [{ unpluggedSinceMs: 5 }, 'unplugged'],
    [{ lastValueC: -127, quality: 9, reasons: ['sentinel' as const] }, 'unusable'],
    [{ quality: 4 }, 'unusable'],
    [{ quality: 7 }, 'unusable'],
    [{ quality: null }, 'unusable'],
  ])('is not live when it cannot be trusted: %j', (over, kind) => {
    expect(probeNews(aSensor(over)).kind).toBe(kind);
  });

  it('is live but named suspect, with its reasons', () => {
    const sensor = aSensor({ quality: 3, reasons: ['spike', 'late'] });
    expect(probeNews(sensor).kind).toBe('live');
    expect(qualityText(sensor)).toBe('suspect: it jumped, it came late');
  });

  it('carries a reason that does not make it suspect, and no word when all is well', () => {
    expect(qualityText(aSensor({ quality: 1, reasons: ['clock'] }))).toBe('its clock is wrong');
    expect(qualityText(aSensor())).toBeNull();
  });

  it('is named old in words', () => {
    expect(newsText(probeNews(aSensor({ lastValueC: 63.44, ageMs: 240_000 })))).toBe(
      'silent, last 63.4° 4 min ago',
    );
  });

  it('says in a list where the probe sits already', () => {
    const sensor = aSensor({ label: 'Red', assignedTo: { kind: 'place', id: 'bag', name: 'Trout bag' } });
    expect(probeOption(sensor)).toBe('Red (core-1): 21.4°, 3 s ago, in Trout bag');
  });

  it.each(['failed', 'never', 'old'] as const)(
    'says in a list that its check is not in order: %s',
    (standing) => {
      expect(probeOption(aSensor({ standing }))).toMatch(
        /, free, (failed its check|never checked|checked too long ago)$/,
      );
    },
  );
});

describe('moving a probe', () => {
  const cooler = aPlace({ id: 'bag', kind: 'cooler', name: 'Raw meat bag', sensorIds: ['bag-a', 'core-1'] });
  const detail = aDetail({
    places: [cooler],
    batches: [aBatch({ sensorId: null }), aBatch({ id: 'thighs-2', sensorId: 'core-2' })],
  });

  it('takes it out of the old place before it goes into the new one, and leaves its neighbour alone', () => {
    expect(movePatches(detail, 'core-1', { from: 'place:bag', to: 'batch:thighs-1' })).toEqual([
      { path: '/api/places/bag', body: { sensorIds: ['bag-a'] } },
      { path: '/api/batches/thighs-1', body: { sensorId: 'core-1' } },
    ]);
  });

  it('adds it to the probes that a place has', () => {
    expect(movePatches(detail, 'core-2', { from: 'batch:thighs-2', to: 'place:bag' })).toEqual([
      { path: '/api/batches/thighs-2', body: { sensorId: null } },
      { path: '/api/places/bag', body: { sensorIds: ['bag-a', 'core-1', 'core-2'] } },
    ]);
  });

  it('to nowhere only takes it out', () => {
    expect(movePatches(detail, 'core-2', { from: 'batch:thighs-2', to: '' })).toHaveLength(1);
  });

  it('is offered with what sits there already', () => {
    expect(seatsOf(detail).map(({ probes }) => probes)).toEqual([[], ['core-2'], ['bag-a', 'core-1']]);
    expect(seatWords(detail, 'place:bag')).toBe('Raw meat bag');
  });

  it('does not offer what is served or thrown away', () => {
    const over = aDetail({
      batches: [aBatch({ status: 'served' }), aBatch({ id: 'b', status: 'discarded' })],
      places: [],
    });
    expect(seatsOf(over)).toEqual([]);
  });
});

describe('a new passphrase', () => {
  it('has ten letters at least', () => {
    expect(checkPassphrase({ passphrase: 'ninechars', again: 'ninechars' }).ok).toBe(false);
    expect(checkPassphrase({ passphrase: 'tencharsss', again: 'tencharsss' })).toEqual({
      ok: true,
      value: { passphrase: 'tencharsss' },
    });
  });

  it('must be typed the same twice', () => {
    const checked = checkPassphrase({ passphrase: 'larch marrow', again: 'larch narrow' });
    expect(checked.ok ? [] : Object.keys(checked.errors)).toEqual(['again']);
  });
});
