import { describe, expect, it } from 'vitest';
import { gateMs, onTimeOf10, plannedOn } from '../../server/plan/timetable.ts';
import { atMin, coals } from './builders.ts';

describe('when to put it on', () => {
  it('is the serving, less the rest, less a cook that four of five keep within', () => {
    expect(plannedOn({ serveAtMs: atMin(60), restMin: 5, p80CookMin: 20 })).toBe(atMin(35));
  });

  it('is rounded down to the minute: early can be held, late cannot', () => {
    expect(plannedOn({ serveAtMs: atMin(60), restMin: 0, p80CookMin: 20.1 })).toBe(atMin(39));
    expect(plannedOn({ serveAtMs: atMin(60) + 59_000, restMin: 0, p80CookMin: 20 })).toBe(atMin(40));
  });

  it.each([-1, NaN, Infinity])('refuses a duration of %d min', (min) => {
    expect(() => plannedOn({ serveAtMs: atMin(60), restMin: 0, p80CookMin: min })).toThrow(/p80CookMin/);
    expect(() => plannedOn({ serveAtMs: atMin(60), restMin: min, p80CookMin: 20 })).toThrow(/restMin/);
  });
});

describe('the gate', () => {
  it('is the serving less the rest', () => {
    expect(gateMs(atMin(76), 30)).toBe(atMin(46));
    expect(gateMs(atMin(26), 0)).toBe(atMin(26));
  });
});

describe('how many of ten are on time', () => {
  it('counts the moments up to and at the gate', () => {
    expect(onTimeOf10(coals(1), atMin(0))).toBe(0);
    expect(onTimeOf10(coals(1), atMin(6))).toBe(6);
    expect(onTimeOf10(coals(1), atMin(30))).toBe(10);
  });

  it('a moment that may never come is late', () => {
    expect(onTimeOf10([...coals(1).slice(0, 7), null, null, null], atMin(30))).toBe(7);
  });

  it('is not known against a gate that is no number', () => {
    expect(onTimeOf10(coals(1), NaN)).toBe(0);
  });

  it('refuses anything but ten moments', () => {
    expect(() => onTimeOf10(coals(1).slice(1), atMin(5))).toThrow(/expected 10 points, got 9/);
  });
});
