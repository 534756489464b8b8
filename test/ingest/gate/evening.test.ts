import { beforeAll, describe, expect, it } from 'vitest';
import { reasonNames, type IncomingReading } from '../../../server/contract/reading.ts';
import type { SeatKind } from '../../../server/ports.ts';
import { displacedProbe } from '../../../server/safety/displaced.ts';
import { HARVEST_SUPPER } from '../../../simulator/scenarios/harvest-supper.ts';
import { Timeline } from '../../../simulator/timeline.ts';
import { createSetting } from '../../../simulator/world.ts';
import { aReading, Heard } from './readings.ts';

const ZERO_MS = 1_764_000_000_000;
type Trace = { seat: SeatKind; readings: { atMs: number; tempC: number }[] };

/** A whole invented evening: fire, lids, bags, pots and cores by physics that knows nothing of these tests. */
function evening(seed: number): Map<string, Trace> {
  const seatOf = new Map<string, SeatKind>();
  for (const { sensor, kind } of HARVEST_SUPPER.places) seatOf.set(sensor, kind);
  for (const { sensor } of HARVEST_SUPPER.batches) if (sensor !== null) seatOf.set(sensor, 'core');
  const traces = new Map(
    [...seatOf].map(([sensor, seat]): [string, Trace] => [sensor, { seat, readings: [] }]),
  );
  const timeline = new Timeline(createSetting(HARVEST_SUPPER, seed, ZERO_MS));
  for (const { sensor, atMs, tempC } of timeline.advance(
    ZERO_MS + HARVEST_SUPPER.endMin * 60_000,
    'nominal',
  )) {
    traces.get(sensor)?.readings.push({ atMs, tempC });
  }
  return traces;
}

function judged(
  { seat, readings }: Trace,
  changed: ReadonlyMap<number, number> = new Map(),
): IncomingReading[] {
  const heard = new Heard(seat);
  return readings.map(({ atMs, tempC }, i) => heard.take(aReading(changed.get(i) ?? tempC, atMs)));
}

describe('an evening on which no probe fails', () => {
  let traces = new Map<string, Trace>();
  beforeAll(() => {
    traces = evening(3);
  }, 60_000);

  it('has no reading that is suspect, and a gap only where a probe was silent', () => {
    let heard = 0;
    const found = new Map<string, number>();
    for (const [sensor, trace] of traces) {
      for (const { quality, reasons } of judged(trace)) {
        heard += 1;
        expect(quality).toBe(1);
        for (const reason of reasonNames(reasons)) {
          const what = `${sensor} ${reason}`;
          found.set(what, (found.get(what) ?? 0) + 1);
        }
      }
    }
    expect(heard).toBeGreaterThan(15_000);
    const silent = HARVEST_SUPPER.places.filter(({ silences }) => silences.length > 0);
    expect([...found]).toEqual(silent.map(({ sensor, silences }) => [`${sensor} gap`, silences.length]));
  });

  it('has no probe that has left its place', () => {
    for (const { seat, readings } of traces.values()) {
      if (seat === 'zone' || seat === 'bench') continue;
      const rows = readings.map((r) => ({ ...r, quality: 1 as const }));
      expect(displacedProbe(rows, seat).marked).toEqual(rows);
    }
  });

  it.each([
    ['the power-on value of a sensor', () => 85],
    ['the number for a broken wire', () => -127],
    ['a jump up by 30 degC', (tempC: number) => tempC + 30],
    ['a jump down by 30 degC', (tempC: number) => tempC - 30],
  ])('finds %s for one reading in every bag and core, and believes the next', (_, fault) => {
    for (const trace of traces.values()) {
      if (trace.seat !== 'cooler' && trace.seat !== 'core') continue;
      for (let i = 50; i < trace.readings.length - 1; i += 211) {
        const { tempC } = trace.readings[i]!;
        const wrongC = fault(tempC);
        if (Math.abs(wrongC - tempC) < 10) continue; // 85 in food at 80 cannot be told
        const row = judged(trace, new Map([[i, wrongC]]));
        expect(row[i]!.quality).toBeGreaterThanOrEqual(3);
        expect(row[i + 1]!.quality).toBe(1);
      }
    }
  });
});
