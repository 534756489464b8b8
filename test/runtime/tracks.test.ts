import { describe, expect, it } from 'vitest';
import { REASON, type IncomingReading, type Reading } from '../../server/contract/reading.ts';
import type { ReadingStore, Seat } from '../../server/ports.ts';
import { readingsOf, Tracks } from '../../server/runtime/tracks.ts';

const NOW = 1_760_000_000_000;
const at = (s: number, tempC = s): Reading => ({ atMs: NOW + s * 1_000, tempC, quality: 1 });
const stored = (s: number): IncomingReading => ({
  ...at(s),
  sensorId: 'left',
  receivedMs: NOW,
  reasons: 0,
  timeSource: 'device',
  nextWithinS: null,
});
const storeOf = (readings: Reading[]): ReadingStore => ({
  commit: () => ({ stored: [], duplicates: 0 }),
  window: () => [...readings],
  watched: () => [...readings],
  corrected: (_sensorId, _atMs, rawC) => rawC,
  newestMs: () => readings.at(-1)?.atMs ?? null,
});

describe('the readings kept beside the store', () => {
  it('begin with what the store holds and grow with what is stored', () => {
    const tracks = new Tracks(storeOf([at(0), at(5)]));
    tracks.of('left', NOW);
    tracks.add([stored(10)]);
    expect(tracks.of('left', NOW)).toEqual([at(0), at(5), at(10)]);
  });

  it('leave out what came late, and so does the store after a restart', () => {
    const tracks = new Tracks({ ...storeOf([at(0), at(10)]), window: () => [at(0), at(5), at(10)] });
    expect(tracks.of('left', NOW)).toEqual([at(0), at(10)]);
    tracks.add([{ ...stored(7), reasons: REASON.late }]);
    expect(tracks.of('left', NOW)).toEqual([at(0), at(10)]);
  });

  it('are what counts and not what the probe sent, where it has a correction', () => {
    const tracks = new Tracks({ ...storeOf([at(0)]), corrected: (_sensorId, _atMs, rawC) => rawC + 0.5 });
    tracks.of('left', NOW);
    tracks.add([stored(5)]);
    expect(tracks.of('left', NOW).map((r) => r.tempC)).toEqual([0, 5.5]);
  });

  it('are let go when they are older than anything that is looked at', () => {
    const hours = (n: number): number => n * 3_600_000;
    const tracks = new Tracks(storeOf([]));
    tracks.of('left', NOW);
    for (let s = 0; s < 90_000; s += 1) tracks.add([stored(s)]);
    const kept = tracks.of('left', NOW + hours(25));
    expect(kept[0]?.atMs).toBe(NOW + hours(5));
    expect(kept.at(-1)?.atMs).toBe(NOW + hours(25) - 1_000);
  });

  it('put an older reading where it belongs, once', () => {
    const tracks = new Tracks(storeOf([at(0), at(10)]));
    tracks.of('left', NOW);
    tracks.add([stored(5), stored(5)]);
    expect(tracks.of('left', NOW).map((r) => r.tempC)).toEqual([0, 5, 10]);
  });

  it('belong to a batch only while its probe sat in it', () => {
    const seats: Seat[] = [
      { subjectKind: 'batch', subjectId: 'a', sensorId: 'left', fromMs: 0, toMs: NOW + 20_000 },
      { subjectKind: 'batch', subjectId: 'a', sensorId: 'right', fromMs: NOW + 20_000, toMs: null },
      { subjectKind: 'place', subjectId: 'a', sensorId: 'bag', fromMs: 0, toMs: null },
    ];
    const track = [0, 10, 20, 30, 40].map((s) => at(s));
    const parts = readingsOf(
      { kind: 'batch', id: 'a' },
      { fromMs: NOW + 5_000, toMs: NOW + 35_000 },
      seats,
      () => track,
    );
    expect(parts.map((p) => [p.sensorId, p.readings.map((r) => r.tempC)])).toEqual([
      ['left', [10, 20]],
      ['right', [20, 30]],
    ]);
  });

  it('belong to a batch in any number: twenty hours of two a second', () => {
    const track = Array.from({ length: 144_000 }, (_, i) => at(i / 2, 5));
    const seats: Seat[] = [{ subjectKind: 'batch', subjectId: 'b', sensorId: 'left', fromMs: 0, toMs: null }];
    const [found] = readingsOf({ kind: 'batch', id: 'b' }, { fromMs: 0, toMs: Infinity }, seats, () => track);
    expect(found?.readings).toHaveLength(144_000);
  });
});
