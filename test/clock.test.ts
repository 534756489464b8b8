import { describe, expect, it } from 'vitest';
import { ClockWatch, type ClockEvent } from '../server/clock-watch.ts';
import { steadyClock } from '../server/clock.ts';
import { Evening } from './support/evening.ts';
import { T0 } from './support/cookouts.ts';

const HOUR_MS = 3_600_000;

/** A computer whose clocks are moved by hand. */
class Computer {
  wall = T0;
  mono = 5_000;
  boot = 5_000;
  pass(ms: number): void {
    this.wall += ms;
    this.mono += ms;
    this.boot += ms;
  }
  sleep(ms: number): void {
    this.wall += ms;
    this.boot += ms;
  }
  clock(offsetMs = 0) {
    return steadyClock({
      wallMs: () => this.wall,
      monoMs: () => this.mono,
      bootMs: () => this.boot,
      offsetMs,
    });
  }
}

describe('the time of the server', () => {
  it('is that of the computer while nobody moves it', () => {
    const computer = new Computer();
    const clock = computer.clock();
    for (let i = 0; i < 100; i += 1) {
      computer.pass(1_000);
      expect(clock.check()).toEqual({ kind: 'none' });
      expect(clock.nowMs()).toBe(computer.wall);
    }
  });

  it.each([HOUR_MS, -HOUR_MS, 2_000, -86_400_000])(
    'goes on evenly when the clock is moved by %d ms, and the move is told once',
    (byMs) => {
      const computer = new Computer();
      const clock = computer.clock();
      computer.pass(60_000);
      computer.wall += byMs;
      expect(clock.nowMs()).toBe(T0 + 60_000);
      expect(clock.check()).toEqual({ kind: 'stepped', byMs });
      expect(clock.offsetMs).toBe(-byMs);
      computer.pass(30_000);
      expect(clock.check()).toEqual({ kind: 'none' });
      expect(clock.nowMs()).toBe(T0 + 90_000);
    },
  );

  it('goes on where it was after a restart, and takes over the clock when it is told to', () => {
    const computer = new Computer();
    const before = computer.clock();
    computer.wall -= HOUR_MS;
    before.check();
    computer.pass(10_000);
    const after = computer.clock(before.offsetMs);
    expect(after.nowMs()).toBe(T0 + 10_000);
    expect(after.adopt()).toBe(-HOUR_MS);
    expect(after.nowMs()).toBe(computer.wall);
    expect(after.offsetMs).toBe(0);
    expect(after.check()).toEqual({ kind: 'none' });
  });

  it('follows a clock that drifts by little, never goes back for it, and never runs more than half a percent off', () => {
    for (const driftMs of [1_500, -1_500]) {
      const computer = new Computer();
      const clock = computer.clock();
      computer.wall += driftMs;
      let beforeMs = clock.nowMs();
      for (let i = 0; i < 400; i += 1) {
        computer.pass(1_000);
        expect(clock.check()).toEqual({ kind: 'none' });
        const stepMs = clock.nowMs() - beforeMs;
        expect(Math.abs(stepMs - 1_000)).toBeLessThanOrEqual(6);
        beforeMs = clock.nowMs();
      }
      expect(Math.abs(clock.nowMs() - computer.wall)).toBeLessThanOrEqual(1);
      expect(clock.offsetMs).toBe(0);
    }
  });

  it('moves on by the time that the machine was asleep, because it has passed', () => {
    const computer = new Computer();
    const clock = computer.clock();
    computer.pass(1_000);
    computer.sleep(20 * 60_000);
    computer.pass(1_000);
    expect(clock.check()).toEqual({ kind: 'slept', forMs: 20 * 60_000 });
    expect(clock.nowMs()).toBe(computer.wall);
    expect(clock.check()).toEqual({ kind: 'none' });
  });

  it('tells a clock that was moved during a sleep at the next look', () => {
    const computer = new Computer();
    const clock = computer.clock();
    computer.sleep(60_000);
    computer.wall -= HOUR_MS;
    expect(clock.check().kind).toBe('slept');
    expect(clock.check()).toEqual({ kind: 'stepped', byMs: -HOUR_MS });
    expect(clock.nowMs()).toBe(T0 + 60_000);
  });
});

describe('a clock that is moved during a cook', () => {
  it('is kept apart over a restart, told, and taken over when the cook is over', () => {
    const computer = new Computer();
    let keptMs = 0;
    let isCooking = true;
    const told: ClockEvent[] = [];
    const watchOf = (offsetMs: number) => {
      const clock = computer.clock(offsetMs);
      const keepOffset = (ms: number): void => void (keptMs = ms);
      const tell = (event: ClockEvent): void => void told.push(event);
      const watch = new ClockWatch({ clock, keptMs, keepOffset, isCooking: () => isCooking, tell });
      return { clock, watch };
    };
    const first = watchOf(0);
    computer.pass(1_000);
    computer.wall += HOUR_MS;
    first.watch.beat();
    first.watch.beat();
    const second = watchOf(keptMs);
    computer.pass(1_000);
    second.watch.beat();
    expect(told).toEqual([{ kind: 'stepped', byMs: HOUR_MS, nowMs: T0 + 1_000 }]);
    expect(second.clock.nowMs()).toBe(T0 + 2_000);
    isCooking = false;
    second.watch.beat();
    expect(told.at(-1)).toEqual({ kind: 'adopted', byMs: HOUR_MS, nowMs: computer.wall });
    expect(keptMs).toBe(0);
  });
});

describe('a clock that is moved while nothing can be written', () => {
  it('is told at once, and kept as soon as that goes again', () => {
    const computer = new Computer();
    const clock = computer.clock();
    const told: string[] = [];
    let keptMs = 0;
    let isFull = true;
    const watch = new ClockWatch({
      clock,
      keptMs: 0,
      keepOffset: (ms) => {
        if (isFull) throw new Error('database or disk is full');
        keptMs = ms;
      },
      isCooking: () => true,
      tell: ({ kind }) => void told.push(kind),
    });
    computer.pass(1_000);
    computer.wall += HOUR_MS;
    expect(() => watch.beat()).toThrow('full');
    expect(told).toEqual(['stepped']);
    isFull = false;
    watch.beat();
    expect(keptMs).toBe(-HOUR_MS);
    expect(told).toEqual(['stepped']);
  });
});

describe('an alarm with a delay', () => {
  it('is raised after its delay although the clock is set back by an hour in the middle of it', () => {
    const raisedAfterMs = (moveMs: number): number => {
      const computer = new Computer();
      const clock = computer.clock();
      const e = new Evening();
      const hear = (tempC: number): void => {
        computer.pass(10_000);
        clock.check();
        e.nowMs = clock.nowMs();
        e.hear('bag-probe', tempC, { timeSource: 'arrival' });
        e.runtime.tick();
      };
      for (let i = 0; i < 12; i += 1) hear(6);
      const overMs = computer.mono;
      while (e.board.alarms.length === 0 && computer.mono < overMs + HOUR_MS) {
        hear(9);
        if (computer.mono === overMs + 50_000) computer.wall += moveMs;
      }
      expect(e.board.alarms[0]?.kind).toBe('cold-over');
      return computer.mono - overMs;
    };
    expect(raisedAfterMs(-HOUR_MS)).toBe(raisedAfterMs(0));
    expect(raisedAfterMs(HOUR_MS)).toBe(raisedAfterMs(0));
    expect(raisedAfterMs(0)).toBe(130_000); // two minutes from the first reading over the limit
  });
});
