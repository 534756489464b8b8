import { describe, expect, it } from 'vitest';
import type { Reading } from '../../server/contract/reading.ts';
import type { AlarmMemory } from '../../server/ports.ts';
import { acknowledgeAlarm } from '../../server/alarms/by-hand.ts';
import type { Condition } from '../../server/alarms/condition.ts';
import { evaluateAlarms, type AlarmChange } from '../../server/alarms/evaluate.ts';
import { ALARM_POLICY } from '../../server/alarms/policy.ts';
import { coldLimit } from '../../server/safety/limits.ts';
import { heardSinceMs, silence, silentAfterMs, typicalIntervalMs } from '../../server/safety/silence.ts';
import { watchHold } from '../../server/safety/watch-hold.ts';
import { atS, condition } from './builders.ts';

/** A cooler under watch: readings in, verdict of the hold and of its probe, alarms, journal. */
class Cooler {
  readings: Reading[] = [];
  open: AlarmMemory[] = [];
  readonly journal: string[] = [];

  read(seconds: number, tempC: number, quality: Reading['quality'] = 1): void {
    this.readings.push({ atMs: atS(seconds), tempC, quality });
  }

  tick(seconds: number): void {
    const { changed, open } = evaluateAlarms({
      conditions: this.conditions(atS(seconds)),
      open: this.open,
      nowMs: atS(seconds),
    });
    this.open = open;
    changed.forEach((change) => this.write(seconds, change));
  }

  /** Ticks every second from one moment to another, reading every ten where `tempAt` gives a temperature. */
  run(fromS: number, toS: number, tempAt: (seconds: number) => number | null): this {
    for (let s = fromS; s <= toS; s += 1) {
      const tempC = s % 10 === 0 ? tempAt(s) : null;
      if (tempC !== null) this.read(s, tempC);
      this.tick(s);
    }
    return this;
  }

  seeAll(seconds: number): this {
    for (const memory of this.open) {
      const change = acknowledgeAlarm({ memory, note: '', nowMs: atS(seconds) });
      if (change === null) continue;
      this.open = this.open
        .map((one) => (one === memory ? change.memory : one))
        .filter(({ alarm }) => alarm.state !== 'normal');
      this.write(seconds, change);
    }
    return this;
  }

  /** The same cooler after the program was stopped and started: what was stored, and nothing else. */
  restarted(): Cooler {
    const after = new Cooler();
    after.readings = structuredClone(this.readings);
    after.open = structuredClone(this.open);
    after.journal.push(...this.journal);
    return after;
  }

  get states(): string[] {
    return this.open.map(({ alarm }) => `${alarm.kind} ${alarm.state}`);
  }

  private write(seconds: number, { entry }: AlarmChange): void {
    this.journal.push(`${String(seconds)} ${entry.kind} ${entry.event}`);
  }

  private conditions(nowMs: number): Condition[] {
    const intervalMs = typicalIntervalMs(this.readings);
    const silentMs = silentAfterMs(intervalMs);
    const hold = watchHold({
      readings: this.readings,
      spotChecks: [],
      limit: coldLimit('uk'),
      nowMs,
      silentAfterMs: silentMs,
      deadbandC: ALARM_POLICY['cold-over'].deadbandC,
    });
    const probe = silence({ lastAtMs: this.readings.at(-1)?.atMs ?? null, intervalMs, nowMs });
    const verdictOf = { within: 'false', outside: 'true', unknown: 'unknown' } as const;
    const value = { valueC: hold.valueC, valueAtMs: hold.atMs };
    return [
      condition({
        ...value,
        verdict: verdictOf[hold.state],
        sinceMs: hold.outsideSinceMs,
        clearSinceMs: hold.clearSinceMs,
      }),
      condition({
        ...value,
        key: 'probe-silent:trout-bag',
        kind: 'probe-silent',
        verdict: probe.silent ? 'true' : 'false',
        sinceMs: probe.sinceMs,
        clearSinceMs: heardSinceMs(this.readings, silentMs),
      }),
    ];
  }
}

/** Warms by a tenth every ten seconds from 7.5 degC: over 8 degC for the first time at 60 s. */
const warming = (seconds: number) => 7.5 + seconds / 100;

describe('a cooler that warms over 8 degC', () => {
  it('rings after two minutes, is seen, gets ice, and ends two minutes after it is half a degree inside', () => {
    const cooler = new Cooler().run(0, 300, warming).seeAll(300);
    expect(cooler.states).toEqual(['cold-over acknowledged']);
    cooler.run(301, 800, (s) => 10.5 - (s - 300) / 100);
    expect(cooler.states).toEqual([]);
    // 8.1 degC is read at 60 s, so 60 + 120; 7.5 degC at 600 s, so 600 + 120.
    expect(cooler.journal).toEqual([
      '180 cold-over raised',
      '300 cold-over acknowledged',
      '720 cold-over cleared',
    ]);
  });

  it('back in limits and not seen, it stays until somebody sees it', () => {
    const cooler = new Cooler().run(0, 300, warming).run(301, 2000, () => 5);
    expect(cooler.states).toEqual(['cold-over returned']);
    expect(cooler.seeAll(2000).states).toEqual([]);
    expect(cooler.journal).toEqual([
      '180 cold-over raised',
      '430 cold-over returned',
      '2000 cold-over acknowledged',
    ]);
  });

  it('a lid that is open for a minute and a half does not ring', () => {
    const cooler = new Cooler().run(0, 600, (s) => (s >= 100 && s < 190 ? 12 : 4));
    expect(cooler.journal).toEqual([]);
  });

  it('hovering at the limit, it neither ends nor rings again', () => {
    const cooler = new Cooler().run(0, 300, warming).run(301, 1500, (s) => (s % 20 === 0 ? 8.1 : 7.8));
    expect(cooler.journal).toEqual(['180 cold-over raised']);
  });

  it.each([0, 61, 100, 179, 180, 181, 299])('a restart after %d s changes nothing', (stopS) => {
    const straight = new Cooler().run(0, 300, warming);
    const cut = new Cooler()
      .run(0, stopS, warming)
      .restarted()
      .run(stopS + 1, 300, warming);
    expect(cut.journal).toEqual(straight.journal);
    expect(cut.open).toEqual(straight.open);
  });

  it('a stop over the moment itself rings at the first tick afterwards', () => {
    const cooler = new Cooler().run(0, 100, warming);
    for (let s = 110; s <= 250; s += 10) cooler.read(s, warming(s));
    expect(cooler.restarted().run(251, 260, warming).journal).toEqual(['251 cold-over raised']);
  });
});

describe('a probe that falls silent', () => {
  it('while outside keeps the alarm, and is one of its own after two minutes', () => {
    const cooler = new Cooler().run(0, 300, warming).run(301, 900, () => null);
    expect(cooler.states).toEqual(['cold-over unacknowledged', 'probe-silent unacknowledged']);
    expect(cooler.journal).toEqual(['180 cold-over raised', '420 probe-silent raised']);
    expect(cooler.open[0]!.alarm).toMatchObject({
      valueC: null,
      detail: 'No reading for 10 min, was over 8°. Ice it or cook it now.',
    });
  });

  it('while outside and seen keeps the alarm as seen', () => {
    const cooler = new Cooler()
      .run(0, 300, warming)
      .seeAll(300)
      .run(301, 2000, () => null);
    expect(cooler.states).toEqual(['cold-over acknowledged', 'probe-silent unacknowledged']);
  });

  it('before the two minutes are over, and is still outside when it returns, rings at once', () => {
    const cooler = new Cooler().run(0, 100, warming).run(101, 399, () => null);
    expect(cooler.states).toEqual(['probe-silent unacknowledged']);
    cooler.run(400, 405, () => 9);
    expect(cooler.journal).toContain('400 cold-over raised');
  });

  it('and returns inside, ends nothing before two minutes of readings inside', () => {
    const cooler = new Cooler()
      .run(0, 300, warming)
      .seeAll(300)
      .run(301, 899, () => null)
      .run(900, 1019, () => 4);
    expect(cooler.states).toEqual(['cold-over acknowledged', 'probe-silent returned']);
    expect(cooler.run(1020, 1020, () => 4).states).toEqual(['probe-silent returned']);
  });

  it('while within says so, and never that anything was within meanwhile', () => {
    const cooler = new Cooler().run(0, 100, () => 4).run(101, 230, () => null);
    expect(cooler.journal).toEqual(['220 probe-silent raised']);
    expect(cooler.open[0]!.alarm.class).toBe('cannot-tell');
  });
});

describe('readings that are not good', () => {
  it('suspect ones raise the alarm and do not end it', () => {
    const cooler = new Cooler();
    for (let s = 0; s <= 200; s += 1) {
      if (s % 10 === 0) cooler.read(s, 9, 3);
      cooler.tick(s);
    }
    expect(cooler.journal).toEqual(['120 cold-over raised']);
    cooler.seeAll(200);
    for (let s = 201; s <= 900; s += 1) {
      if (s % 10 === 0) cooler.read(s, 4, 3);
      cooler.tick(s);
    }
    expect(cooler.states).toEqual(['cold-over acknowledged']);
  });

  it('failed ones neither raise nor end it', () => {
    const cooler = new Cooler().run(0, 300, warming).seeAll(300);
    for (let s = 301; s <= 900; s += 1) {
      if (s % 10 === 0) cooler.read(s, s % 20 === 0 ? NaN : 2, 4);
      cooler.tick(s);
    }
    expect(cooler.open[0]!.alarm).toMatchObject({ kind: 'cold-over', state: 'acknowledged' });
  });
});
