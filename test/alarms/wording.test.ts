import { describe, expect, it } from 'vitest';
import { ALARM_KINDS } from '../../server/contract/board.ts';
import type { Condition } from '../../server/alarms/condition.ts';
import { alarmWords, systemName, UNWATCHED_DETAIL } from '../../server/alarms/wording.ts';
import { atMin, atS, condition, fault, START_MS } from './builders.ts';

/** Line 1 of the live screen, by its design. */
const TITLE_MAX = 22;
const LONG_LIMIT = '155 °F (68 °C) for 17 s';
const STATES = ['unacknowledged', 'acknowledged', 'returned', 'normal'] as const;
const VERDICTS = ['true', 'false', 'unknown'] as const;

function everyCase(): { condition: Condition; state: (typeof STATES)[number] }[] {
  const ofKind = (kind: (typeof ALARM_KINDS)[number]): Condition[] =>
    VERDICTS.flatMap((verdict): Condition[] =>
      kind === 'system'
        ? [fault({ verdict }), fault({ verdict, fault: 'store' })]
        : [null, NaN, 64.04].flatMap((valueC) =>
            [true, false].map((isHeard) =>
              condition({ kind, verdict, valueC, isHeard, short: 'Tenletters', limitText: LONG_LIMIT }),
            ),
          ),
    );
  return ALARM_KINDS.flatMap(ofKind).flatMap((one) => STATES.map((state) => ({ condition: one, state })));
}

describe('the two lines of an alarm', () => {
  it('fit the screen for a name of ten letters, in every kind, state and verdict', () => {
    for (const { condition: one, state } of everyCase()) {
      const { title, detail } = alarmWords(one, state, atMin(125));
      expect([title, title.length <= TITLE_MAX]).toEqual([title, true]);
      expect([detail, detail.length <= 80]).toEqual([detail, true]);
    }
  });

  it('never shout, blame, show code, or say that food is safe', () => {
    for (const { condition: one, state } of everyCase()) {
      const { title, detail } = alarmWords(one, state, atMin(125));
      expect(`${title} / ${detail}`).not.toMatch(
        /!|warning|error|\bsafe\b|you |fault|NaN|null|undefined|-over|_/i,
      );
      expect(detail).toMatch(/\.$/);
    }
  });

  it('always end in something to do', () => {
    for (const { condition: one, state } of everyCase()) {
      expect(alarmWords(one, state, atMin(125)).detail).toMatch(
        /[Ii]ce it|[Cc]heck|Heat it|Back on the fire|Note by hand/,
      );
    }
  });
});

describe('cold and hot', () => {
  const twelve = { sinceMs: START_MS, valueC: 9.1 };

  it('too warm: reading, limit, how long, the act', () => {
    expect(alarmWords(condition(twelve), 'unacknowledged', atMin(12))).toEqual({
      title: 'Trout bag too warm',
      detail: '9.1°, over 8° for 12 min. Ice it or cook it now.',
    });
  });

  it('too cool', () => {
    const barley = condition({
      kind: 'hot-under',
      short: 'Barley',
      valueC: 58,
      limitC: 63,
      food: 'vegetable',
    });
    expect(alarmWords(barley, 'unacknowledged', atMin(4))).toEqual({
      title: 'Barley too cool',
      detail: '58.0°, under 63° for 4 min. Heat it up now.',
    });
  });

  it('food that is cooked already is heated, not cooked', () => {
    expect(alarmWords(condition({ food: 'stew' }), 'unacknowledged', atMin(2)).detail).toMatch(
      /Ice it or heat it now\.$/,
    );
  });

  it('minutes are whole and rounded down', () => {
    const detail = (seconds: number) => alarmWords(condition(), 'unacknowledged', atS(seconds)).detail;
    expect(detail(179)).toContain('for 2 min');
    expect(detail(180)).toContain('for 3 min');
    expect(detail(59)).toContain('for under 1 min');
  });

  it('leave the duration out where its start is not known', () => {
    for (const sinceMs of [null, NaN]) {
      expect(alarmWords(condition({ sinceMs }), 'unacknowledged', atMin(5)).detail).toBe(
        '9.1°, over 8°. Ice it or cook it now.',
      );
    }
  });

  it('a reading just beyond its limit is never shown as the limit', () => {
    expect(alarmWords(condition({ valueC: 8.01 }), 'unacknowledged', atMin(2)).detail).toMatch(
      /^8\.1°, over 8°/,
    );
    const hot = condition({ kind: 'hot-under', valueC: 62.99, limitC: 63 });
    expect(alarmWords(hot, 'unacknowledged', atMin(2)).detail).toMatch(/^62\.9°, under 63°/);
  });

  it.each([8.1, 8.2, 8.3, 9.7, 10.4])('a reading of tenths is shown as it is: %d', (valueC) => {
    expect(alarmWords(condition({ valueC }), 'unacknowledged', atMin(2)).detail).toContain(
      `${valueC.toFixed(1)}°,`,
    );
  });

  it('a tenth that is not exact in binary does not become the next one', () => {
    expect(alarmWords(condition({ valueC: 8.200000000000001 }), 'unacknowledged', atMin(2)).detail).toMatch(
      /^8\.2°/,
    );
    const hot = condition({ kind: 'hot-under', valueC: 58.09999999, limitC: 63 });
    expect(alarmWords(hot, 'unacknowledged', atMin(2)).detail).toMatch(/^58\.1°/);
  });

  it('a limit of half degrees is shown with them, a whole one without', () => {
    expect(alarmWords(condition({ limitC: 4.4 }), 'unacknowledged', atMin(2)).detail).toContain('over 4.4°');
    expect(alarmWords(condition({ limitC: null }), 'unacknowledged', atMin(2)).detail).toContain(
      'over its limit',
    );
  });

  it('while the probe is silent no number stands as if it were live', () => {
    const silent = condition({ verdict: 'unknown', valueC: 9.1, valueAtMs: atMin(1) });
    expect(alarmWords(silent, 'acknowledged', atMin(5)).detail).toBe(
      'No reading for 4 min, was over 8°. Ice it or cook it now.',
    );
    expect(alarmWords({ ...silent, valueAtMs: null }, 'acknowledged', atMin(5)).detail).toMatch(
      /^No reading, was over 8°/,
    );
  });

  it('inside the limit but not yet for long, it does not claim to be back', () => {
    expect(alarmWords(condition({ verdict: 'false', valueC: 7.9 }), 'unacknowledged', atMin(5))).toEqual({
      title: 'Trout bag too warm',
      detail: '7.9°, only just back under 8°. Ice it or cook it now.',
    });
  });

  it('back and not seen, the title is in the past', () => {
    expect(alarmWords(condition({ verdict: 'false', valueC: 6 }), 'returned', atMin(5))).toEqual({
      title: 'Trout bag was warm',
      detail: 'Was over 8°, now back. Check the food and note what was done.',
    });
    const hot = condition({ kind: 'hot-under', verdict: 'false', limitC: 63, short: 'Barley' });
    expect(alarmWords(hot, 'returned', atMin(5))).toMatchObject({
      title: 'Barley was cool',
      detail: expect.stringMatching(/^Was under 63°/) as string,
    });
  });

  it('back and not seen, but silent now or over again, it does not say "now back"', () => {
    expect(alarmWords(condition({ verdict: 'unknown' }), 'returned', atMin(5)).detail).toBe(
      'Was over 8°, came back. No reading now, check by hand.',
    );
    expect(alarmWords(condition({ verdict: 'true', valueC: 8.3 }), 'returned', atMin(1))).toEqual({
      title: 'Trout bag too warm',
      detail: '8.3°, over 8° for 1 min. Ice it or cook it now.',
    });
  });
});

describe('a silent probe', () => {
  const silent = condition({ kind: 'probe-silent', short: 'Stew', valueC: 4.06, limitC: null });

  it('says since how long, and what it read last', () => {
    expect(alarmWords(silent, 'unacknowledged', atMin(3))).toEqual({
      title: 'Stew: no reading',
      detail: 'No reading for 3 min, last 4.1°. Check it by hand.',
    });
  });

  it('that was never heard says so', () => {
    const never = { ...silent, sinceMs: null, valueC: null };
    expect(alarmWords(never, 'unacknowledged', atMin(3)).detail).toBe('No reading yet. Check it by hand.');
  });

  it('that is heard and not believed is not called silent', () => {
    const doubted = { ...silent, isHeard: true, valueC: null };
    expect(alarmWords(doubted, 'unacknowledged', atMin(9))).toEqual({
      title: 'Stew: in doubt',
      detail: 'Its readings have not been believed for 9 min. Check it by hand.',
    });
  });

  it('that is heard again asks for one check', () => {
    expect(alarmWords({ ...silent, verdict: 'false' }, 'returned', atMin(3))).toEqual({
      title: 'Stew heard again',
      detail: 'Reads 4.1° again. Check once by hand what was missed.',
    });
    expect(
      alarmWords({ ...silent, verdict: 'false', valueC: null }, 'unacknowledged', atMin(3)).detail,
    ).toMatch(/^Readings come again\./);
  });
});

describe('a core below its limit', () => {
  const kofta = condition({
    kind: 'core-short',
    short: 'Kofta',
    limitText: '70 °C for 2 min',
    valueC: 64.09,
  });

  it('says what was reached and what was not, in the words of the limit', () => {
    expect(alarmWords(kofta, 'unacknowledged', atMin(0))).toEqual({
      title: 'Kofta below limit',
      detail: 'Reached 64.0°, not 70 °C for 2 min. Back on the fire.',
    });
  });

  it('that was not measured says so', () => {
    expect(alarmWords({ ...kofta, valueC: null }, 'unacknowledged', atMin(0)).detail).toMatch(
      /^Core not measured/,
    );
  });

  it('stays a fact after it was put back on', () => {
    expect(alarmWords({ ...kofta, verdict: 'false' }, 'returned', atMin(5))).toMatchObject({
      title: 'Kofta was low',
    });
  });
});

describe('a fault of the watch itself', () => {
  it('says that nothing is checked, or nothing kept', () => {
    expect(alarmWords(fault(), 'unacknowledged', START_MS)).toEqual({
      title: 'Watch has stopped',
      detail: 'Limits are not being checked. Check by hand.',
    });
    expect(alarmWords(fault({ fault: 'store' }), 'unacknowledged', START_MS).title).toBe('Readings not kept');
  });

  it('says when it is over', () => {
    expect(alarmWords(fault({ verdict: 'false' }), 'returned', START_MS).title).toBe('Watch runs again');
    expect(alarmWords(fault({ verdict: 'false', fault: 'store' }), 'normal', START_MS).title).toBe(
      'Readings kept again',
    );
  });

  it('has a name for the journal', () => {
    expect(systemName('watch')).not.toBe(systemName('store'));
  });
});

it('an alarm that nothing watches shows no number', () => {
  expect(UNWATCHED_DETAIL).not.toMatch(/\d/);
});
