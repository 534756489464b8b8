import { onTestFinished } from 'vitest';
import type { Correction, ProbeCheck } from '../../server/contract/probe.ts';
import type { IncomingReading } from '../../server/contract/reading.ts';
import type { Intake } from '../../server/ports.ts';
import { openDatabase } from '../../server/store/database.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { tempDir } from '../support/temp-dir.ts';

/** The beginning of a minute. */
export const T0 = 1_760_000_040_000;
export const MIN = 60_000;

export function aReading(over: Partial<IncomingReading> = {}): IncomingReading {
  const atMs = over.atMs ?? T0;
  return {
    sensorId: 'left',
    tempC: 4,
    atMs,
    receivedMs: atMs,
    quality: 1,
    reasons: 0,
    timeSource: 'device',
    nextWithinS: null,
    ...over,
  };
}

export function anIntake(over: Partial<Intake> = {}): Intake {
  return { readings: [], sides: [], unplugged: [], rejects: [], delivery: null, ...over };
}
export const taken = (...readings: IncomingReading[]): Intake => anIntake({ readings });

export function open(dir = tempDir()) {
  const db = openDatabase(dir);
  onTestFinished(() => void db.close());
  return { db, dir, store: new SqliteReadings(db) };
}

/** One reading a second, `tempC` a function of the second. */
export function everySecond(
  count: number,
  tempC: (second: number) => number,
  fromMs = T0,
): IncomingReading[] {
  return Array.from({ length: count }, (_, i) => aReading({ tempC: tempC(i), atMs: fromMs + i * 1_000 }));
}

export function aCorrection(over: Partial<Correction> = {}): Correction {
  return {
    id: `c-${over.fromMs ?? T0}-${over.offsetC ?? 0}`,
    sensorId: 'left',
    kind: 'one-point',
    fromMs: T0,
    gain: 1,
    offsetC: -0.5,
    checkIds: ['check'],
    ...over,
  };
}

export function aCheck(over: Partial<ProbeCheck> = {}): ProbeCheck {
  return {
    id: `k-${over.sensorId ?? 'left'}-${over.atMs ?? T0}`,
    sensorId: 'left',
    kind: 'ice',
    atMs: T0,
    rawC: 0.5,
    readC: 0.5,
    expectedC: 0,
    windowC: 1,
    altitudeM: null,
    outcome: 'passed',
    ...over,
  };
}
