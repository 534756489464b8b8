import { describe, expect, it } from 'vitest';
import { IdSchema } from '../../server/contract/text.ts';
import { AlarmSchema, ALARM_KINDS } from '../../server/contract/board.ts';
import { JournalEntrySchema } from '../../server/contract/api.ts';
import type { AlarmMemory } from '../../server/ports.ts';
import { alarmId } from '../../server/alarms/alarm-id.ts';
import type { Condition } from '../../server/alarms/condition.ts';
import { evaluateAlarms } from '../../server/alarms/evaluate.ts';
import { alarm, atMin, atS, condition, fault, START_MS } from './builders.ts';

const tick = (seconds: number, conditions: Condition[], open: AlarmMemory[] = []) =>
  evaluateAlarms({ conditions, open, nowMs: atS(seconds) });
const raised = (one: Condition = condition()) => tick(120, [one]).open;
const memory = (q: Parameters<typeof alarm>[0] = {}): AlarmMemory => ({
  alarm: alarm(q),
  cookoutId: 'supper',
  subjectName: 'Trout bag under the bench',
  key: 'cold-over:trout-bag',
});
const inside = (q: Partial<ReturnType<typeof condition>> = {}) =>
  condition({ verdict: 'false', sinceMs: null, clearSinceMs: atS(200), valueC: 6, ...q });

describe('raising', () => {
  it('waits for the on-delay, counted from the reading', () => {
    expect(tick(119.999, [condition()])).toEqual({ changed: [], open: [] });
    const { changed, open } = tick(120, [condition()]);
    expect(open).toHaveLength(1);
    expect(changed).toHaveLength(1);
    expect(changed[0]!.memory).toEqual(open[0]);
    expect(AlarmSchema.parse(open[0]!.alarm)).toMatchObject({
      kind: 'cold-over',
      class: 'unsafe',
      state: 'unacknowledged',
      rowId: 'trout-bag',
      subject: { kind: 'place', id: 'trout-bag' },
      title: 'Trout bag too warm',
      detail: '9.1°, over 8° for 2 min. Ice it or cook it now.',
      raisedMs: atS(120),
      seenMs: null,
      returnedMs: null,
      valueC: 9.1,
      limitC: 8,
    });
    expect(JournalEntrySchema.parse(changed[0]!.entry)).toEqual({
      alarmId: open[0]!.alarm.id,
      kind: 'cold-over',
      atMs: atS(120),
      event: 'raised',
      state: 'unacknowledged',
      subjectName: 'Trout bag under the bench',
      valueC: 9.1,
      limitC: 8,
      note: '',
    });
  });

  it('is the same whether or not anything ran in between: only readings and now count', () => {
    let open: AlarmMemory[] = [];
    for (let s = 0; s <= 120; s += 1) open = tick(s, [condition()], open).open;
    expect(open).toEqual(tick(120, [condition()]).open);
  });

  it.each(['core-short', 'system'] as const)('%s is raised at once', (kind) => {
    const one = kind === 'system' ? fault() : condition({ kind, key: 'core-short:kofta-1' });
    expect(tick(0, [one]).open).toHaveLength(1);
  });

  it.each([null, NaN])('a broken limit of unknown age (%s) is raised at once', (sinceMs) => {
    expect(tick(0, [condition({ sinceMs })]).open).toHaveLength(1);
  });

  it('unknown does not raise', () => {
    expect(tick(600, [condition({ verdict: 'unknown' })])).toEqual({ changed: [], open: [] });
  });

  it('within does not raise', () => {
    expect(tick(600, [inside()])).toEqual({ changed: [], open: [] });
  });

  it('happens once: while it stays broken nothing more is written down', () => {
    const open = raised();
    const later = tick(720, [condition({ valueC: 9.6 })], open);
    expect(later.changed).toEqual([]);
    expect(later.open[0]!.alarm).toMatchObject({
      id: open[0]!.alarm.id,
      raisedMs: atS(120),
      valueC: 9.6,
      detail: '9.6°, over 8° for 12 min. Ice it or cook it now.',
    });
  });

  it('a fault of the watch belongs to no row', () => {
    const { changed, open } = tick(0, [fault()]);
    expect(open[0]).toMatchObject({
      cookoutId: null,
      alarm: { rowId: null, subject: null, valueC: null, limitC: null },
    });
    expect(changed[0]!.entry.subjectName).toBe('Watch of the limits');
  });
});

describe('clearing', () => {
  it('needs the off-delay, counted from the first reading inside by the deadband', () => {
    expect(tick(319.999, [inside()], raised()).changed).toEqual([]);
    const { changed, open } = tick(320, [inside()], raised());
    expect(open[0]!.alarm).toMatchObject({
      state: 'returned',
      returnedMs: atS(320),
      title: 'Trout bag was warm',
    });
    expect(changed[0]!.entry).toMatchObject({ event: 'returned', state: 'returned', valueC: 6 });
  });

  it.each([null, NaN])('never happens while it is not inside by the deadband (%s)', (clearSinceMs) => {
    expect(tick(9999, [inside({ clearSinceMs, valueC: 7.9 })], raised()).open[0]!.alarm).toMatchObject({
      state: 'unacknowledged',
      detail: '7.9°, only just back under 8°. Ice it or cook it now.',
    });
  });

  it('never happens on unknown, and the old number is not passed on', () => {
    for (const state of ['unacknowledged', 'acknowledged', 'returned'] as const) {
      const { changed, open } = tick(9999, [condition({ verdict: 'unknown' })], [memory({ state })]);
      expect(changed).toEqual([]);
      expect(open[0]!.alarm).toMatchObject({ state, valueC: null, limitC: 8 });
    }
  });

  it('of an alarm that was seen ends it', () => {
    const seen = [memory({ state: 'acknowledged', seenMs: atS(150) })];
    const { changed, open } = tick(320, [inside()], seen);
    expect(open).toEqual([]);
    expect(changed[0]).toMatchObject({
      memory: { alarm: { state: 'normal', seenMs: atS(150), returnedMs: atS(320) } },
      entry: { event: 'cleared', state: 'normal' },
    });
  });

  it('of one that nobody saw leaves it until it is seen', () => {
    const back = [memory({ state: 'returned', returnedMs: atS(320) })];
    const { changed, open } = tick(9999, [inside()], back);
    expect(changed).toEqual([]);
    expect(open[0]!.alarm).toMatchObject({ state: 'returned', returnedMs: atS(320) });
  });

  it('of a silent probe needs half a minute of readings', () => {
    const silent = condition({ kind: 'probe-silent', key: 'probe-silent:stew' });
    const heard = { ...silent, verdict: 'false' as const, clearSinceMs: atS(200) };
    expect(tick(229, [heard], raised(silent)).changed).toEqual([]);
    expect(tick(230, [heard], raised(silent)).open[0]!.alarm.state).toBe('returned');
  });

  it('of a fault of the watch needs no time', () => {
    const { open } = tick(0, [fault()]);
    expect(tick(1, [fault({ verdict: 'false', sinceMs: null })], open).open[0]!.alarm).toMatchObject({
      state: 'returned',
      title: 'Watch runs again',
    });
  });
});

describe('broken again before it was seen', () => {
  const back = [memory({ id: 'first', state: 'returned', raisedMs: atS(120), returnedMs: atS(320) })];
  const again = condition({ sinceMs: atS(400) });

  it('needs the on-delay afresh', () => {
    expect(tick(519, [again], back).open[0]!.alarm.state).toBe('returned');
  });

  it('is the same alarm with new times', () => {
    const { changed, open } = tick(520, [again], back);
    expect(open[0]!.alarm).toMatchObject({
      id: 'first',
      state: 'unacknowledged',
      raisedMs: atS(520),
      seenMs: null,
      returnedMs: null,
    });
    expect(changed[0]!.entry).toMatchObject({
      alarmId: 'first',
      event: 'raised-again',
      state: 'unacknowledged',
    });
  });
});

describe('an alarm whose condition is no longer there', () => {
  it('stays, and shows no old number', () => {
    const { changed, open } = tick(9999, [], raised());
    expect(changed).toEqual([]);
    expect(open[0]!.alarm).toMatchObject({
      state: 'unacknowledged',
      valueC: null,
      detail: 'No longer watched. Check it by hand.',
    });
  });

  it('is found again under its key', () => {
    const away = tick(600, [], raised()).open;
    expect(tick(660, [condition({ valueC: 9.4 })], away).open[0]!.alarm).toMatchObject({
      valueC: 9.4,
      raisedMs: atS(120),
    });
  });

  it('two alarms kept under one key: neither is lost', () => {
    const { open } = tick(600, [condition()], [memory({ id: 'one' }), memory({ id: 'two' })]);
    expect(open.map(({ alarm: { id } }) => id).sort()).toEqual(['one', 'two']);
  });
});

describe('several alarms', () => {
  it('come worst first', () => {
    const silent = condition({ kind: 'probe-silent', key: 'probe-silent:stew' });
    const kofta = condition({ kind: 'core-short', key: 'core-short:kofta-1' });
    const { open } = tick(200, [silent, condition(), kofta, fault()]);
    expect(open.map(({ alarm: { kind } }) => kind)).toEqual([
      'system',
      'core-short',
      'cold-over',
      'probe-silent',
    ]);
  });
});

describe('what a caller may not ask', () => {
  it('a now that is no number', () => {
    expect(() => evaluateAlarms({ conditions: [], open: [], nowMs: NaN })).toThrow(/nowMs/);
  });
  it('the same key twice', () => {
    expect(() => tick(0, [condition(), condition()])).toThrow(/cold-over:trout-bag twice/);
  });
});

describe('the name of an alarm', () => {
  const uuid = '3f0c2a44-5a1e-4d2b-9f8e-1c2d3e4f5a6b';

  it('is an id of the contract for every kind, however long or odd its key', () => {
    for (const kind of ALARM_KINDS) {
      for (const key of [uuid, `${kind}:place:${uuid}:${uuid}`, 'Küche / Öl 🔥', '']) {
        expect(IdSchema.safeParse(alarmId(kind, key, START_MS)).success).toBe(true);
      }
    }
  });

  it('is the same for the same key and moment, and another for another', () => {
    const name = alarmId('cold-over', 'a', START_MS);
    expect(alarmId('cold-over', 'a', START_MS)).toBe(name);
    expect(
      new Set([
        name,
        alarmId('cold-over', 'b', START_MS),
        alarmId('cold-over', 'a', atMin(1)),
        alarmId('hot-under', 'a', START_MS),
      ]).size,
    ).toBe(4);
  });

  // Published FNV-1a 32-bit test vectors (Noll), from memory: "" -> 0x811c9dc5, "a" -> 0xe40c292c, "foobar" -> 0xbf9cf968.
  it.each([
    ['', 0x811c9dc5],
    ['a', 0xe40c292c],
    ['foobar', 0xbf9cf968],
  ])('digests %j as published', (key, expected) => {
    expect(alarmId('system', key, 0)).toBe(`system-${expected.toString(36)}-0`);
  });
});
