import { statSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { IncomingReading } from '../../server/contract/reading.ts';
import type { Intake } from '../../server/ports.ts';
import { openDatabase, type Db } from '../../server/store/database.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import type { Figure } from './figure.ts';
import { monoMs } from './mono.ts';
import { SENSORS, sensorName, valueAt } from './readings.ts';
import { inScope } from './scope.ts';
import { median, spreadOf } from './stats.ts';

const READINGS = 1_000_000;
const DAY_S = 86_400;
const DAY_MS = DAY_S * 1_000;
const MS_PER_S = 1_000;
/** Seconds of all sensors in one commit: as a group of a slow disk, and quick to write. */
const GROUP_S = 20;
const BUCKETS = 1_000;
/** Narrower than a minute, so that only the readings themselves can answer. */
const FINE_BUCKETS = 1_500;
const TIMES = 30;
const NAIVE_ROWS = 200_000;
const FROM_MS = Date.UTC(2026, 8, 19);
/** How long a device's message is on its way, ms: a garden's Wi-Fi. OURS. */
const TRAVEL_MS = { least: 20, most: 300 };
/** Multiplier and increment of a full-period generator modulo 2^32: Numerical Recipes, 2nd ed., 1992, p. 284, from memory. */
const LCG = { times: 1_664_525, plus: 1_013_904_223 };

/** Every second one has its own clock; the others are stamped when they arrive. */
function readingAt(index: number, second: number): IncomingReading {
  const chance = (((second * SENSORS + index) * LCG.times + LCG.plus) % 2 ** 32) / 2 ** 32;
  const sentMs = FROM_MS + second * MS_PER_S + index * 17;
  const travelMs = Math.round(TRAVEL_MS.least + chance * (TRAVEL_MS.most - TRAVEL_MS.least));
  const isTimed = index % 2 === 1;
  return {
    sensorId: sensorName(index),
    tempC: Number(valueAt(index, second)),
    atMs: isTimed ? sentMs : sentMs + travelMs,
    receivedMs: sentMs + travelMs,
    quality: 1,
    reasons: 0,
    timeSource: isTimed ? 'device' : 'arrival',
    nextWithinS: null,
  };
}

function groupFrom(second: number): Intake[] {
  return Array.from({ length: GROUP_S * SENSORS }, (_, i) => ({
    readings: [readingAt(i % SENSORS, second + Math.floor(i / SENSORS))],
    sides: [],
    unplugged: [],
    rejects: [],
    delivery: null,
  }));
}

/** Writes through the live path from one second up to another; answers with readings a second. */
function write(readings: SqliteReadings, fromS: number, toS: number): number {
  let busyMs = 0;
  let stored = 0;
  for (let second = fromS; second < toS; second += GROUP_S) {
    const group = groupFrom(second);
    const startMs = monoMs();
    stored += readings.commit(group).stored.length;
    busyMs += monoMs() - startMs;
  }
  if (stored !== (toS - fromS) * SENSORS)
    throw new Error(`${stored} readings stored of ${(toS - fromS) * SENSORS}`);
  return (stored * MS_PER_S) / busyMs;
}

function bytesOf(db: Db): number {
  db.pragma('wal_checkpoint(TRUNCATE)');
  return statSync(db.name).size;
}

/** The table that comes to mind first: names and times as text, a number, an index. */
function naiveBytes(dir: string): number {
  const db = new Database(join(dir, 'naive.db'));
  db.exec(
    'CREATE TABLE reading (sensor TEXT, time TEXT, value REAL); CREATE INDEX by_sensor ON reading(sensor, time);',
  );
  const insert = db.prepare('INSERT INTO reading VALUES (?, ?, ?)');
  db.transaction(() => {
    for (let i = 0; i < NAIVE_ROWS; i += 1) {
      const { sensorId, atMs, tempC } = readingAt(i % SENSORS, Math.floor(i / SENSORS));
      insert.run(sensorId, new Date(atMs).toISOString(), tempC);
    }
  })();
  db.close();
  return statSync(join(dir, 'naive.db')).size / NAIVE_ROWS;
}

function timesOf(what: () => number, least: number): number[] {
  return Array.from({ length: TIMES }, () => {
    const startMs = monoMs();
    const found = what();
    const tookMs = monoMs() - startMs;
    if (found < least) throw new Error(`the query found ${found} of at least ${least}`);
    return tookMs;
  });
}

/** Every reading fetched and looked at one by one. */
function bucketsByHand(readings: SqliteReadings, sensorId: string): number {
  const widthMs = DAY_MS / BUCKETS;
  const lows = new Map<number, number>();
  const highs = new Map<number, number>();
  for (const { atMs, tempC } of readings.window(sensorId, FROM_MS, FROM_MS + DAY_MS - 1)) {
    const bucket = Math.floor((atMs - FROM_MS) / widthMs);
    lows.set(bucket, Math.min(lows.get(bucket) ?? Infinity, tempC));
    highs.set(bucket, Math.max(highs.get(bucket) ?? -Infinity, tempC));
  }
  return highs.size;
}

function queryFigures(readings: SqliteReadings): Figure[] {
  const sensorId = sensorName(SENSORS / 2);
  const ask = (points: number): number =>
    readings.buckets(sensorId, FROM_MS, FROM_MS + DAY_MS - 1, points).length;
  const byHand = median(timesOf(() => bucketsByHand(readings, sensorId), BUCKETS));
  const figure = (name: string, ms: number[]): Figure => ({
    part: 'history',
    name,
    of: '',
    value: median(ms),
    unit: 'ms',
    spread: spreadOf(ms),
    beside: { what: 'ms reading by reading', value: byHand },
  });
  // a bucket of 86.4 s that begins between two minutes may come in pieces of whole minutes: at least two thirds of them
  return [
    figure(
      'one day raw',
      timesOf(() => ask(FINE_BUCKETS), FINE_BUCKETS - 1),
    ),
    figure(
      'one day from roll-ups',
      timesOf(() => ask(BUCKETS), (BUCKETS * 2) / 3),
    ),
  ];
}

/** A whole day of fifty sensors at 1 Hz, written as the live path writes: how much room it takes, how fast it is read. */
export async function measureHistory(): Promise<Figure[]> {
  return inScope((scope) => {
    const dir = scope.tempDir();
    const db = openDatabase(dir);
    scope.later(() => void db.close());
    const readings = new SqliteReadings(db);
    const firstS = READINGS / SENSORS;
    const perS = write(readings, 0, firstS);
    const bytes = bytesOf(db) / READINGS;
    write(readings, firstS, DAY_S);
    const base = { part: 'history', of: '' } as const;
    return Promise.resolve<Figure[]>([
      {
        ...base,
        name: 'bytes per reading',
        value: bytes,
        unit: '',
        beside: { what: 'with text names and times', value: naiveBytes(dir) },
      },
      { ...base, name: 'readings committed', of: 'groups of 1,000', value: perS, unit: '/s' },
      ...queryFigures(readings),
    ]);
  });
}
