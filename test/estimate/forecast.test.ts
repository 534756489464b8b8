import { describe, expect, it } from 'vitest';
import { forecastCook } from '../../server/estimate/forecast.ts';
import type { EtaForecast, Forecast } from '../../server/estimate/types.ts';
import { MINUTE_MS, ON_MS, evenCook, question, readings } from './questions.ts';

/** Arrival of `evenCook` at a temperature, s since on. */
function arrivalS(targetC: number): number {
  let atS = 0;
  while (evenCook(atS) < targetC) atS += 1;
  return atS;
}

function eta(forecast: Forecast): EtaForecast {
  if (forecast.kind !== 'eta') throw new TypeError(`expected an eta, got ${forecast.reason}`);
  return forecast;
}

function minutesFromOn(forecast: Forecast, index: number): number {
  const ms = eta(forecast).quantilesMs[index];
  return ms === null || ms === undefined ? Infinity : (ms - ON_MS) / MINUTE_MS;
}

const middle = (forecast: Forecast): number => (minutesFromOn(forecast, 4) + minutesFromOn(forecast, 5)) / 2;

describe('when a curve gives a forecast', () => {
  it('says why there is none before the food is on', () => {
    const forecast = forecastCook(question(300, { events: [] }));
    expect(forecast).toMatchObject({ kind: 'none', reason: 'not-on' });
  });

  it('does not look at an event that is still to come', () => {
    const events = [{ atMs: ON_MS + 600_000, step: 'on' as const, zone: null }];
    expect(forecastCook(question(300, { events }))).toMatchObject({ reason: 'not-on' });
  });

  it('says so when no reading of the core has come', () => {
    expect(forecastCook(question(300, { readings: [] }))).toMatchObject({ reason: 'no-readings' });
  });

  it('takes failed and missing readings for none', () => {
    const failed = readings(evenCook, { untilS: 600 }, 4);
    const missing = readings(evenCook, { untilS: 600 }, 9);
    expect(forecastCook(question(600, { readings: failed }))).toMatchObject({ reason: 'no-readings' });
    expect(forecastCook(question(600, { readings: missing }))).toMatchObject({ reason: 'no-readings' });
  });

  it('gives none from a reading that is half an hour old', () => {
    const forecast = forecastCook(question(600 + 31 * 60, { readings: readings(evenCook, { untilS: 600 }) }));
    expect(forecast).toMatchObject({ reason: 'no-readings' });
  });

  it('does not guess before the core has moved, and says about how long it has to learn', () => {
    // A slab's centre has moved by 1 % of the way at Fo 0.101, for this piece after 122 s (computed from the series).
    const forecast = forecastCook(question(60));
    expect(forecast).toMatchObject({ kind: 'none', reason: 'core-not-moved' });
    if (forecast.kind === 'none') {
      expect(forecast.learnMin).toBeGreaterThan(0.5);
      expect(forecast.learnMin).toBeLessThan(5);
    }
  });

  it('stays silent on a noisy probe that shows no clear rise', () => {
    const noisy = readings((s) => 5 + 0.8 * Math.sin(s * 12.9898), { untilS: 240 });
    expect(forecastCook(question(240, { readings: noisy }))).toMatchObject({ reason: 'core-not-moved' });
  });

  it('says since when the target is reached', () => {
    const reachedS = arrivalS(75);
    const forecast = forecastCook(question(reachedS + 60));
    expect(forecast).toMatchObject({ reason: 'reached' });
    if (forecast.kind === 'none')
      expect(Math.abs(forecast.sinceMs! - ON_MS - reachedS * 1000)).toBeLessThan(15_000);
  });

  it('names the argument that makes no sense', () => {
    expect(() => forecastCook(question(300, { thicknessMm: 0 }))).toThrow(/thicknessMm: expected/);
    expect(() => forecastCook(question(300, { targetC: Number.NaN }))).toThrow(/targetC: expected/);
    expect(() => forecastCook({ ...question(300), nowMs: Number.NaN })).toThrow(/nowMs: expected/);
  });
});

describe('what a forecast says', () => {
  it.each([0.4, 0.55, 0.7, 0.85])(
    'holds the exact arrival inside its ten points at %d of the cook',
    (share) => {
      const wholeS = arrivalS(75);
      const forecast = forecastCook(question(share * wholeS));
      expect(minutesFromOn(forecast, 0)).toBeLessThan(wholeS / 60);
      expect(minutesFromOn(forecast, 9)).toBeGreaterThan(wholeS / 60);
      expect(Math.abs(middle(forecast) - wholeS / 60)).toBeLessThan(0.15 * (wholeS / 60));
    },
  );

  it('grows surer as the cook goes on', () => {
    const wholeS = arrivalS(75);
    const width = (share: number): number => {
      const forecast = forecastCook(question(share * wholeS));
      return minutesFromOn(forecast, 8) - minutesFromOn(forecast, 1);
    };
    expect(width(0.85)).toBeLessThan(width(0.6));
    expect(width(0.6)).toBeLessThan(width(0.35));
  });

  it('never claims to know half-way better than the readings can tell', () => {
    // Cramer-Rao bound with an unknown ambient: 7 % of the remaining time (1 sd) at half-way for a 20 mm patty, 0.5 degC
    // noise, vague ambient; 4 % as the floor of any claim (computed). The 15 to 85 % range of a normal spans 2.07 sd.
    const wholeS = arrivalS(75);
    const forecast = forecastCook(question(0.5 * wholeS));
    const remainingMin = middle(forecast) - (0.5 * wholeS) / 60;
    expect(minutesFromOn(forecast, 8) - minutesFromOn(forecast, 1)).toBeGreaterThan(
      2.07 * 0.04 * remainingMin,
    );
  });

  it('is later for a higher target', () => {
    const at = (targetC: number): number => middle(forecastCook(question(500, { targetC })));
    expect(at(60)).toBeLessThan(at(70));
    expect(at(70)).toBeLessThan(at(80));
  });

  it('tells the present rate', () => {
    const forecast = eta(forecastCook(question(600)));
    const trueRate = (evenCook(600) - evenCook(570)) * 2;
    expect(Math.abs(forecast.rateCPerMin! - trueRate)).toBeLessThan(0.15 * trueRate);
  });

  it('says the same on every call', () => {
    expect(forecastCook(question(500))).toEqual(forecastCook(question(500)));
  });

  it('moves by little from one reading to the next', () => {
    let before = middle(forecastCook(question(600)));
    for (let nowS = 605; nowS <= 700; nowS += 5) {
      const now = middle(forecastCook(question(nowS)));
      expect(Math.abs(now - before)).toBeLessThan(1);
      before = now;
    }
  });

  it('keeps the ten points at or after now when readings have stopped', () => {
    const stopped = question(1500, { readings: readings(evenCook, { untilS: 700 }) });
    for (const ms of eta(forecastCook(stopped)).quantilesMs) {
      if (ms !== null) expect(ms).toBeGreaterThanOrEqual(stopped.nowMs);
    }
  });

  it('bears a gap in the readings', () => {
    const wholeS = arrivalS(75);
    const all = readings(evenCook, { untilS: 700 });
    const gappy = all.filter(({ atMs }) => atMs < ON_MS + 250_000 || atMs > ON_MS + 500_000);
    const forecast = forecastCook(question(700, { readings: gappy }));
    expect(Math.abs(middle(forecast) - wholeS / 60)).toBeLessThan(0.15 * (wholeS / 60));
  });

  it('bears a probe that shows whole degrees', () => {
    const wholeS = arrivalS(75);
    const coarse = readings(evenCook, { untilS: 700, stepC: 1 });
    const forecast = forecastCook(question(700, { readings: coarse }));
    expect(Math.abs(middle(forecast) - wholeS / 60)).toBeLessThan(0.15 * (wholeS / 60));
  });

  it('bears readings by the minute', () => {
    const wholeS = arrivalS(75);
    const sparse = readings(evenCook, { untilS: 720, everyS: 60 });
    const forecast = forecastCook(question(720, { readings: sparse }));
    expect(Math.abs(middle(forecast) - wholeS / 60)).toBeLessThan(0.2 * (wholeS / 60));
  });

  it('is not thrown by a single wild reading', () => {
    const wild = readings(evenCook, { untilS: 600 });
    wild[100] = { ...wild[100]!, tempC: 95 };
    const calm = middle(forecastCook(question(600)));
    expect(Math.abs(middle(forecastCook(question(600, { readings: wild }))) - calm)).toBeLessThan(1);
  });

  it('does not believe a core that was still settling after the probe went in', () => {
    const wholeS = arrivalS(75);
    const settling = readings((s) => evenCook(s) + 14 * Math.exp(-s / 12), { untilS: 650 });
    const forecast = forecastCook(question(650, { readings: settling }));
    expect(Math.abs(middle(forecast) - wholeS / 60)).toBeLessThan(0.15 * (wholeS / 60));
  });
});

describe('what was done to the food', () => {
  it('makes the forecast later and wider after a move to a gentler zone', () => {
    const stay = forecastCook(question(500));
    const moved = forecastCook(
      question(500, {
        zone: 'gentle',
        events: [
          { atMs: ON_MS, step: 'on', zone: 'hot' },
          { atMs: ON_MS + 490_000, step: 'moved', zone: 'gentle' },
        ],
      }),
    );
    expect(middle(moved)).toBeGreaterThan(middle(stay));
    expect(minutesFromOn(moved, 8) - minutesFromOn(moved, 1)).toBeGreaterThan(
      minutesFromOn(stay, 8) - minutesFromOn(stay, 1),
    );
  });

  it('widens but does not jump at a turn', () => {
    const plan = { turnPlan: { kind: 'once' as const } };
    const turned = (atS: number): Forecast =>
      forecastCook(
        question(610, {
          ...plan,
          events: [
            { atMs: ON_MS, step: 'on', zone: 'medium' },
            { atMs: ON_MS + atS * 1000, step: 'turned', zone: null },
          ],
        }),
      );
    const before = forecastCook(question(610, plan));
    const after = turned(605);
    expect(Math.abs(middle(after) / middle(before) - 1)).toBeLessThan(0.1);
    const width = (f: Forecast): number => minutesFromOn(f, 8) - minutesFromOn(f, 1);
    expect(width(after)).toBeGreaterThan(width(turned(300)));
  });

  it('expects a lid that was just opened to cost some time', () => {
    const on = { atMs: ON_MS, step: 'on' as const, zone: 'medium' as const };
    const opened = { atMs: ON_MS + 420_000, step: 'lid-opened' as const, zone: null };
    const closed = forecastCook(question(500, { events: [on] }));
    const open = forecastCook(question(500, { events: [on, opened] }));
    expect(middle(open)).toBeGreaterThan(middle(closed));
  });

  it('allows that a core which levels off below its target may never get there', () => {
    const weak = (s: number): number => 5 + 57 * (1 - Math.exp(-Math.max(s - 120, 0) / 500));
    const forecast = forecastCook(question(2000, { readings: readings(weak, { untilS: 2000 }) }));
    if (forecast.kind !== 'eta') throw new Error(forecast.why);
    expect(forecast.quantilesMs.slice(8)).toEqual([null, null]);
    // A fire can be woken: not in less than half of the time so far.
    expect(minutesFromOn(forecast, 4)).toBeGreaterThan(1.5 * (2000 / 60));
  });

  it('counts a turn at once, even before the next reading', () => {
    const on = { atMs: ON_MS, step: 'on' as const, zone: 'medium' as const };
    const turns = [120, 240, 360, 480].map((atS) => ({
      atMs: ON_MS + atS * 1000,
      step: 'turned' as const,
      zone: null,
    }));
    const late = { atMs: ON_MS + 603_000, step: 'turned' as const, zone: null };
    const seen = { events: [on, ...turns], readings: readings(evenCook, { untilS: 600 }) };
    const before = forecastCook(question(604, seen));
    const after = forecastCook(question(604, { ...seen, events: [...seen.events, late] }));
    expect(Math.abs(middle(after) / middle(before) - 1)).toBeLessThan(0.15);
  });
});

describe('a probe that is no longer in the food', () => {
  it('is reported with how far it fell and since when', () => {
    const pulled = readings(
      (s) => (s < 500 ? evenCook(s) : 25 + (evenCook(500) - 25) * Math.exp(-(s - 500) / 20)),
      {
        untilS: 560,
      },
    );
    const forecast = forecastCook(question(560, { readings: pulled }));
    expect(forecast).toMatchObject({ kind: 'none', reason: 'probe-out' });
    if (forecast.kind === 'none') {
      expect(forecast.fell!.byC).toBeGreaterThan(3);
      expect(forecast.fell!.inMs).toBeLessThanOrEqual(60_000);
      expect(Math.abs(forecast.sinceMs! - ON_MS - 500_000)).toBeLessThan(20_000);
    }
  });

  it('stays reported while it lies beside the grill', () => {
    const lying = readings(
      (s) => (s < 500 ? evenCook(s) : 25 + (evenCook(500) - 25) * Math.exp(-(s - 500) / 20)),
      {
        untilS: 1100,
      },
    );
    expect(forecastCook(question(1100, { readings: lying }))).toMatchObject({ reason: 'probe-out' });
  });

  it('is never a target reached when it leaps up in the flames', () => {
    const burning = readings((s) => (s < 500 ? evenCook(s) : Math.min(evenCook(500) + 4 * (s - 500), 180)), {
      untilS: 530,
    });
    expect(forecastCook(question(530, { readings: burning }))).toMatchObject({
      reason: 'probe-out',
      fell: null,
    });
  });

  it('is believed again two minutes after it was put into a colder place of the food', () => {
    const replaced = readings((s) => (s < 500 ? evenCook(s) : evenCook(s) - 7), { untilS: 700 });
    expect(
      forecastCook(question(540, { readings: replaced.filter(({ atMs }) => atMs <= ON_MS + 540_000) })),
    ).toMatchObject({
      reason: 'probe-out',
    });
    expect(forecastCook(question(700, { readings: replaced })).kind).toBe('eta');
  });
});
