import { describe, expect, it } from 'vitest';
import { reasonNames, type IncomingReading } from '../../server/contract/reading.ts';
import { QualityGate } from '../../server/ingest/gate/quality-gate.ts';
import type { Delivery } from '../../server/ports.ts';
import { Runtime } from '../../server/runtime/runtime.ts';
import { SqliteCookouts } from '../../server/store/cookouts.ts';
import { SqliteJournal } from '../../server/store/journal.ts';
import { SqliteReadings } from '../../server/store/readings.ts';
import { anIntake, aReading, MIN, open, T0 } from '../store/builders.ts';
import { silentLog } from '../support/silent-log.ts';

const HOUR = 60 * MIN;

/** The runtime on a real store, given messages of one probe one by one. */
function aServer() {
  const { db } = open();
  const clock = { nowMs: T0, speed: 1 };
  const start = () => {
    const readings = new SqliteReadings(db);
    const runtime = new Runtime({
      clock: { nowMs: () => clock.nowMs, speed: 1 },
      readings,
      gate: new QualityGate(),
      cookouts: new SqliteCookouts(db),
      journal: new SqliteJournal(db),
      probes: readings.probes,
      feed: { board: () => undefined, readings: () => undefined, alarm: () => undefined },
      log: silentLog,
      isStoring: () => true,
      unpluggedSinceMs: () => null,
    });
    return { readings, runtime };
  };
  let running = start();
  return {
    clock,
    restart: () => void (running = start()),
    kept: () => running.readings.logged('left', 0, Number.MAX_SAFE_INTEGER),
    /** @returns what was new of it */
    send: (reading: Partial<IncomingReading>, delivery: Delivery | null = null) => {
      const whole = aReading({ atMs: clock.nowMs, receivedMs: clock.nowMs, ...reading });
      return running.runtime.take([anIntake({ readings: [whole], delivery })]).stored;
    },
  };
}

function marked(packetId: number, isRepeat = false): Delivery {
  return { sender: 'probe', packetId, digest: packetId, isRepeat };
}

describe('a message that is sent again', () => {
  it('is one reading, and its glitch stays one: the true readings after it are good', () => {
    const server = aServer();
    const next = (tempC: number, packetId: number, isRepeat = false) => {
      server.clock.nowMs += isRepeat ? 2_000 : 10_000;
      return server.send({ tempC, timeSource: 'arrival' }, marked(packetId, isRepeat));
    };
    for (let i = 0; i < 10; i += 1) next(50, i);
    next(500, 10);
    for (let i = 0; i < 5; i += 1) expect(next(500, 10, true)).toEqual([]);
    expect(next(50.1, 11)[0]).toMatchObject({ quality: 1, reasons: 0 });
    expect(next(50.2, 12)[0]).toMatchObject({ quality: 1, reasons: 0 });
  });

  it('is one reading when it came at once, by a clock that was not believed when it came again', () => {
    const server = aServer();
    const behind = [0, 7, -2, 11, 3, -5, 9, 1, 14, -8, 6, 2, 12, -3, 8, 4];
    behind.forEach((hours, i) => {
      server.clock.nowMs += 10_000;
      server.send({ atMs: server.clock.nowMs - hours * HOUR }, marked(i));
    });
    const atMs = server.clock.nowMs + 1_000;
    server.clock.nowMs += 1_500;
    expect(server.send({ tempC: 4.37, atMs })).toMatchObject([{ atMs, timeSource: 'device' }]);
    server.clock.nowMs += 5_000;
    expect(server.send({ tempC: 4.37, atMs }, marked(100, true))).toEqual([]);
    // and not because whatever comes again is taken for known
    expect(server.send({ tempC: 4.37, atMs: atMs + 500 }, marked(101, true))).toHaveLength(1);
  });
});

describe('what is late', () => {
  it('is late as the first thing after a restart too, because newer ones are stored', () => {
    const server = aServer();
    server.send({});
    server.restart();
    server.clock.nowMs += MIN;
    const [old] = server.send({ atMs: server.clock.nowMs - 3 * HOUR });
    expect(reasonNames(old?.reasons ?? 0)).toEqual(['late']);
    expect(server.send({})[0]).toMatchObject({ reasons: 0 });
    expect(server.kept()).toHaveLength(3);
  });
});
