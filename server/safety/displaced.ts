import type { Reading } from '../contract/reading.ts';
import { assertAscending, saysSomething } from './samples.ts';

/** Where a probe is meant to be. A fire is not among them: there is nothing that it cannot do within a minute. */
export type ProbeHome = 'core' | 'cooler' | 'pot';

/** A probe that seems to be somewhere else. `byC` above 0: it fell, below 0: it rose; degC, in so many ms. */
export type Displacement = { sinceMs: number; byC: number; inMs: number };

type Limits = {
  /** What it cannot fall or rise by within a minute, degC. */
  fallC: number;
  riseC: number;
  /** Within a minute, where it is calm again, degC. */
  calmFallC: number;
  calmRiseC: number;
  /** How near to where it was counts as back, degC; and how fast that may have risen since, degC per minute. */
  nearC: number;
  nearCPerMin: number;
  /** How long it must have been calm somewhere else to count as being there, ms. */
  calmAfterFallMs: number;
  calmAfterRiseMs: number;
};

const MS_PER_MIN = 60_000;

/**
 * All OURS; readings of real lids and hands would be better than these.
 *
 * core: heat goes into food and out of it by conduction. The fastest minute of a thin burger in the layer model is 16 degC up;
 * a resting core falls by less than 3. A tip that comes out or slips towards the fire changes by tens of degrees.
 * cooler: full of food and ice it changes by less than 3 degC a minute with its lid open; a tip that hangs in warm air comes up
 * two thirds of the way in half a minute, and one that touches ice goes down as fast. A long open lid looks the same and is
 * worth the same question. It stays said for ten minutes, because no bag is warm all at once.
 * pot: two litres or more change by some degrees a minute at most, unless something cold is poured in.
 */
const LIMITS: Record<ProbeHome, Limits> = {
  core: {
    fallC: 8,
    riseC: 20,
    calmFallC: 3,
    calmRiseC: 10,
    nearC: 3,
    nearCPerMin: 10,
    calmAfterFallMs: 3 * MS_PER_MIN,
    calmAfterRiseMs: 5 * MS_PER_MIN,
  },
  cooler: {
    fallC: 8,
    riseC: 8,
    calmFallC: 2,
    calmRiseC: 2,
    nearC: 3,
    nearCPerMin: 0,
    calmAfterFallMs: 3 * MS_PER_MIN,
    calmAfterRiseMs: 10 * MS_PER_MIN,
  },
  pot: {
    fallC: 10,
    riseC: 10,
    calmFallC: 3,
    calmRiseC: 3,
    nearC: 5,
    nearCPerMin: 0,
    calmAfterFallMs: 10 * MS_PER_MIN,
    calmAfterRiseMs: 3 * MS_PER_MIN,
  },
};
/** A probe that has just been put in takes on the temperature there first. OURS. */
const PUT_IN_MS = 90_000;
/** After a fall in food: food on a fire rises again, a tip in the open does not. OURS. */
const RISES_BY_C = 1;
/** A fall deeper than this is a tip in the open until it has risen like food for so long. OURS, as the estimator has it. */
const DEEP_C = 20;
const CALM_AFTER_DEEP_MS = 10 * MS_PER_MIN;
/** One reading may be a spike that nothing has marked: it takes so many in a row to be out, and to be back. */
const IN_A_ROW = 2;

/**
 * Finds readings of a probe that has left its place or comes from somewhere else: a change that food, a bag or a pot cannot
 * make, until it is back where it was, or has been calm somewhere else for long enough. It is about the probe, not about
 * limits: what it reads may still raise an alarm. Suspect readings (3) are not looked at.
 *
 * @param readings - raw readings of one probe, ascending in time, degC and epoch ms
 * @param fromMs - since when it is meant to be there; the first 90 s after that, and of the readings, it is being put in
 * @returns `marked`: all readings, those of another place as suspect (3); `now`: what was last seen, while it is not over
 * @throws RangeError when readings are not ascending
 */
export function displacedProbe(
  readings: readonly Reading[],
  home: ProbeHome,
  fromMs = -Infinity,
): { marked: Reading[]; now: Displacement | null } {
  assertAscending(readings);
  const marked = [...readings];
  const watch = new Watch(home, Math.max(fromMs, readings[0]?.atMs ?? 0) + PUT_IN_MS);
  readings.forEach((reading, index) => {
    if (!saysSomething(reading) || reading.quality === 3) return;
    const firstOdd = watch.see({ atMs: reading.atMs, tempC: reading.tempC, index });
    for (let i = firstOdd ?? marked.length; i <= index; i += 1) {
      const odd = marked[i];
      if (odd && odd.quality < 3) marked[i] = { ...odd, quality: 3 };
    }
  });
  return { marked, now: watch.now?.seen ?? null };
}

type Point = { atMs: number; tempC: number; index: number };
type Odd = { from: Point; byC: number };
type Out = {
  seen: Displacement;
  levelC: number;
  back: number;
  /** Since when it is calm, and what it read then. */
  calm: Point;
};

class Watch {
  now: Out | null = null;
  private readonly limits: Limits;
  private readonly isCore: boolean;
  private readonly watchesFromMs: number;
  private readonly highest = new LastMinute((a, b) => a >= b);
  private readonly lowest = new LastMinute((a, b) => a <= b);
  private before: Point | null = null;
  /** The first odd reading, until the next one confirms it; no measure for the next ones. */
  private odd: Odd | null = null;

  constructor(home: ProbeHome, watchesFromMs: number) {
    this.limits = LIMITS[home];
    this.isCore = home === 'core';
    this.watchesFromMs = watchesFromMs;
  }

  /** @returns the index of the first reading that belongs elsewhere, up to this one; null when this one is at home */
  see(point: Point): number | null {
    const first = this.now ? this.follow(this.now, point) : this.leave(point);
    if (this.odd === null) {
      this.highest.add(point);
      this.lowest.add(point);
      this.before = point;
    }
    return first;
  }

  private leave(point: Point): number | null {
    const { odd } = this;
    const byC = odd === null ? 0 : odd.from.tempC - point.tempC;
    if (odd === null || !this.isBeyond(byC, 1) || byC * odd.byC < 0) {
      this.odd = point.atMs < this.watchesFromMs ? null : this.oddityOf(point);
      return null;
    }
    const { atMs, tempC, index } = odd.from;
    this.now = {
      seen: { sinceMs: atMs, byC, inMs: point.atMs - atMs },
      levelC: tempC,
      back: 0,
      calm: point,
    };
    this.odd = null;
    this.forgetLevel();
    return index + 1;
  }

  private follow(out: Out, point: Point): number | null {
    const byC = out.levelC - point.tempC;
    const isFurther = byC * out.seen.byC > 0 && Math.abs(byC) > Math.abs(out.seen.byC);
    if (isFurther) out.seen = { ...out.seen, byC, inMs: point.atMs - out.seen.sinceMs };
    const isCalm =
      this.highest.of(point).tempC - point.tempC <= this.limits.calmFallC &&
      point.tempC - this.lowest.of(point).tempC <= this.limits.calmRiseC;
    if (!isCalm) out.calm = point;
    out.back = this.isNear(out, point) ? out.back + 1 : 0;
    if (out.back < IN_A_ROW && !this.hasSettled(out, point)) return point.index;
    this.now = null;
    this.forgetLevel();
    return null;
  }

  private isNear({ levelC, seen }: Out, { atMs, tempC }: Point): boolean {
    const risenC = (this.limits.nearCPerMin * (atMs - seen.sinceMs)) / MS_PER_MIN;
    return tempC >= levelC - this.limits.nearC && tempC <= levelC + this.limits.nearC + risenC;
  }

  private hasSettled({ calm, seen }: Out, point: Point): boolean {
    const calmMs = point.atMs - calm.atMs;
    if (seen.byC < 0) return calmMs >= this.limits.calmAfterRiseMs;
    if (!this.isCore) return calmMs >= this.limits.calmAfterFallMs;
    const neededMs = seen.byC > DEEP_C ? CALM_AFTER_DEEP_MS : this.limits.calmAfterFallMs;
    return calmMs >= neededMs && point.tempC - calm.tempC >= RISES_BY_C;
  }

  private oddityOf(point: Point): Odd | null {
    const { before } = this;
    const [high, low] = [this.highest.of(point), this.lowest.of(point)];
    for (const from of [high, low]) {
      const byC = from.tempC - point.tempC;
      if (this.isBeyond(byC, 1)) return { from, byC };
    }
    if (before === null) return null;
    // readings further apart than a minute
    const byC = before.tempC - point.tempC;
    const isOdd = this.isBeyond(byC, Math.max(1, (point.atMs - before.atMs) / MS_PER_MIN));
    return isOdd ? { from: before, byC } : null;
  }

  private isBeyond(byC: number, minutes: number): boolean {
    return byC > this.limits.fallC * minutes || -byC > this.limits.riseC * minutes;
  }

  private forgetLevel(): void {
    this.highest.clear();
    this.lowest.clear();
    this.before = null;
  }
}

/** The highest, or lowest, point of the last minute, however many there are. */
class LastMinute {
  private readonly isBeyond: (a: number, b: number) => boolean;
  private points: Point[] = [];
  private first = 0;

  constructor(isBeyond: (a: number, b: number) => boolean) {
    this.isBeyond = isBeyond;
  }

  /** As of this point, itself included. */
  of(point: Point): Point {
    while ((this.points[this.first]?.atMs ?? Infinity) < point.atMs - MS_PER_MIN) this.first += 1;
    const extreme = this.points[this.first];
    return extreme && this.isBeyond(extreme.tempC, point.tempC) ? extreme : point;
  }

  add(point: Point): void {
    for (let last = this.points.at(-1); last && this.points.length > this.first; last = this.points.at(-1)) {
      if (!this.isBeyond(point.tempC, last.tempC)) break;
      this.points.pop();
    }
    this.points.push(point);
  }

  clear(): void {
    this.points = [];
    this.first = 0;
  }
}
