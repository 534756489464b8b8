import { describe, expect, it } from 'vitest';
import { problemText } from '../../web/api-client.ts';
import { clockText } from '../../web/format/clock.ts';
import { agoText, spanText } from '../../web/format/duration.ts';
import { degText, limitText, wholeDown } from '../../web/format/temperature.ts';
import { parseRoute } from '../../web/router.ts';
import { inSentence } from '../../web/words.ts';

const NOON_UTC = Date.parse('2026-07-01T12:05:00Z');

describe('the clock', () => {
  it('shows 24 hours in the zone of the cookout, with summer time', () => {
    expect(clockText(NOON_UTC, 'Europe/London')).toBe('13:05');
    expect(clockText(NOON_UTC, 'Australia/Adelaide')).toBe('21:35');
    expect(clockText(Date.parse('2026-07-01T23:01:00Z'), 'Europe/London')).toBe('00:01');
  });

  it('survives a zone that the browser does not know', () => {
    expect(clockText(NOON_UTC, 'Nowhere/Farm')).toMatch(/^\d\d:\d\d$/);
  });

  it('shows a dash for no time', () => {
    expect(clockText(NaN, 'UTC')).toBe('–');
  });
});

describe('a temperature', () => {
  it('has one decimal and a degree sign, and a dash when it is unknown', () => {
    expect(degText(9.14)).toBe('9.1°');
    expect(degText(-0.04)).toBe('0.0°');
    expect(degText(null)).toBe('–');
    expect(degText(NaN)).toBe('–');
  });

  it('of a limit is whole where the limit is', () => {
    expect(limitText(63)).toBe('63°');
    expect(limitText(7.5)).toBe('7.5°');
  });

  it('of a core is rounded down', () => {
    expect(wholeDown(74.99)).toBe('74');
    expect(wholeDown(-0.5)).toBe('-1');
    expect(wholeDown(NaN)).toBe('–');
  });
});

describe('a span', () => {
  it('is told in the unit that fits, rounded down', () => {
    expect(spanText(40_900)).toBe('40 s');
    expect(spanText(4 * 60_000 + 59_000)).toBe('4 min');
    expect(spanText(130 * 60_000)).toBe('2 h 10 min');
    expect(agoText(3_000)).toBe('3 s ago');
    expect(agoText(NaN)).toBe('–');
  });
});

describe('a route', () => {
  it.each([
    ['', { name: 'live' }],
    ['#/item/row-3', { name: 'item', rowId: 'row-3' }],
    ['#/item/', { name: 'live' }],
    ['#/item/%E0%A4%A', { name: 'live' }],
    ['#/plan', { name: 'plan', section: null }],
    ['#/plan/dishes', { name: 'plan', section: 'dishes' }],
    ['#/record/a1', { name: 'record', cookoutId: 'a1' }],
    ['#/holds', { name: 'holds' }],
    ['#/elsewhere', { name: 'live' }],
  ])('%s is read', (hash, expected) => {
    expect(parseRoute(hash)).toEqual(expected);
  });
});

describe('words', () => {
  it('put a name into a sentence without touching what is no plain word', () => {
    expect(inSentence('Kofta')).toBe('kofta');
    expect(inSentence('BBQ ribs')).toBe('BBQ ribs');
  });

  it('of a problem are one line, each said once', () => {
    const problem = {
      type: 'about:blank',
      title: 'Wrong order',
      status: 409,
      detail: 'It is not on the fire.',
    };
    expect(problemText(problem)).toBe('Wrong order. It is not on the fire');
    expect(problemText({ ...problem, errors: [{ field: 'step', message: 'It is not on the fire.' }] })).toBe(
      'Wrong order. It is not on the fire',
    );
  });
});
