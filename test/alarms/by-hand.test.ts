import { describe, expect, it } from 'vitest';
import { JournalEntrySchema } from '../../server/contract/api.ts';
import { acknowledgeAlarm, withdrawAlarm } from '../../server/alarms/by-hand.ts';
import { alarm, atS } from './builders.ts';

const by = (q: Parameters<typeof alarm>[0]) => ({
  memory: {
    alarm: alarm(q),
    cookoutId: 'supper',
    key: 'cold-over:trout-bag',
    subjectName: 'Trout bag under the bench',
  },
  note: 'ice added',
  nowMs: atS(150),
});

describe('I see it', () => {
  it('marks the alarm as seen and writes it down with its note, and says nothing about the cause', () => {
    const done = acknowledgeAlarm(by({ id: 'x' }))!;
    expect(done.memory.alarm).toEqual(alarm({ id: 'x', state: 'acknowledged', seenMs: atS(150) }));
    expect(JournalEntrySchema.parse(done.entry)).toEqual({
      alarmId: 'x',
      kind: 'cold-over',
      atMs: atS(150),
      event: 'acknowledged',
      state: 'acknowledged',
      subjectName: 'Trout bag under the bench',
      valueC: 9.1,
      limitC: 8,
      note: 'ice added',
    });
  });

  it('ends an alarm that was back in limits', () => {
    expect(acknowledgeAlarm(by({ state: 'returned', returnedMs: atS(100) }))!.memory.alarm).toMatchObject({
      state: 'normal',
      seenMs: atS(150),
      returnedMs: atS(100),
    });
  });

  it.each(['acknowledged', 'normal'] as const)('does nothing to an alarm that is %s', (state) => {
    expect(acknowledgeAlarm(by({ state }))).toBeNull();
  });
});

describe('no longer watched, because a person ended it', () => {
  it('ends an alarm that was seen, and does not write that it was over', () => {
    expect(withdrawAlarm(by({ state: 'acknowledged', seenMs: atS(130) }))!).toMatchObject({
      memory: { alarm: { state: 'normal', seenMs: atS(130), returnedMs: atS(150) } },
      entry: { event: 'withdrawn' },
    });
  });

  it('leaves one that nobody saw until it is seen', () => {
    expect(withdrawAlarm(by({}))!.memory.alarm).toMatchObject({ state: 'returned', seenMs: null });
  });

  it('does nothing twice', () => {
    expect(withdrawAlarm(by({ state: 'returned' }))).toBeNull();
    expect(withdrawAlarm(by({ state: 'normal' }))).toBeNull();
  });
});
