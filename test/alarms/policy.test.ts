import { describe, expect, it } from 'vitest';
import { ALARM_KINDS, type Alarm } from '../../server/contract/board.ts';
import { ALARM_POLICY, worstFirst } from '../../server/alarms/policy.ts';
import { alarm, atMin } from './builders.ts';

const order = (...alarms: Alarm[]) => alarms.sort(worstFirst).map(({ id }) => id);

describe('alarm policy', () => {
  // Our own choices, written here so that a change is seen; the silence of 2 min is the design of the live screen.
  it.each([
    ['cold-over', 'unsafe', 120, 120, 0.5],
    ['hot-under', 'unsafe', 120, 120, 1],
    ['probe-silent', 'cannot-tell', 120, 30, 0],
    ['core-short', 'unsafe', 0, 0, 0],
    ['system', 'unsafe', 0, 0, 0],
  ] as const)(
    '%s is %s, on after %d s, off after %d s, deadband %d degC',
    (kind, alarmClass, onS, offS, deadbandC) => {
      expect(ALARM_POLICY[kind]).toEqual({
        class: alarmClass,
        onDelayMs: onS * 1000,
        offDelayMs: offS * 1000,
        deadbandC,
      });
    },
  );

  it('a kind with a deadband also has an off-delay, so that only readings inside by the deadband clear it', () => {
    for (const kind of ALARM_KINDS) {
      const { deadbandC, offDelayMs } = ALARM_POLICY[kind];
      expect([kind, deadbandC === 0 || offDelayMs > 0]).toEqual([kind, true]);
    }
  });
});

describe('order of alarms', () => {
  it('unsafe comes before cannot tell, even when it has been seen', () => {
    expect(
      order(
        alarm({ id: 'silent', kind: 'probe-silent', class: 'cannot-tell' }),
        alarm({ id: 'warm', state: 'acknowledged' }),
      ),
    ).toEqual(['warm', 'silent']);
  });

  it('not seen comes before seen and broken, and that before back in limits', () => {
    expect(
      order(
        alarm({ id: 'back', state: 'returned' }),
        alarm({ id: 'seen', state: 'acknowledged' }),
        alarm({ id: 'new' }),
        alarm({ id: 'over', state: 'normal' }),
      ),
    ).toEqual(['new', 'seen', 'back', 'over']);
  });

  it('a failed watch comes before everything, then the core, the cold, the hot', () => {
    expect(
      order(
        alarm({ id: 'hot', kind: 'hot-under' }),
        alarm({ id: 'cold' }),
        alarm({ id: 'core', kind: 'core-short' }),
        alarm({ id: 'watch', kind: 'system' }),
      ),
    ).toEqual(['watch', 'core', 'cold', 'hot']);
  });

  it('the older comes first, and equals keep one order', () => {
    expect(order(alarm({ id: 'b', raisedMs: atMin(2) }), alarm({ id: 'a', raisedMs: atMin(1) }))).toEqual([
      'a',
      'b',
    ]);
    expect(order(alarm({ id: 'b' }), alarm({ id: 'a' }))).toEqual(['a', 'b']);
    expect(order(alarm({ id: 'a' }), alarm({ id: 'b' }))).toEqual(['a', 'b']);
  });
});
