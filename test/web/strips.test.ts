import { describe, expect, it } from 'vitest';
import type { Board } from '../../server/contract/board.ts';
import { stripOne, stripTwo, whenOf, whenText } from '../../web/views/live/strips.ts';
import { lastEndedOf } from '../../web/views/live/last-ended.ts';
import { nextFace, isTapMeant } from '../../web/views/live/tap-guard.ts';
import {
  NOW_MS,
  acknowledgedBoard,
  inMin,
  makeAction,
  makeAlarm,
  makeBoard,
  makeHold,
  makeRow,
  unsafeBoard,
  withRow,
} from '../support/boards.ts';
import { everyStateBoard } from '../support/every-state-board.ts';
import { FIVE_PM_MS, MIN_MS, aCookout } from '../support/plans.ts';

const context = (board: Board | null, linkLostMs: number | null = null) => ({
  board,
  nowMs: NOW_MS,
  linkLostMs,
  lastEnded: null,
});
const one = (board: Board | null) => stripOne(context(board));
const tag = (board: Board | null, linkLostMs: number | null = null) =>
  stripTwo(context(board, linkLostMs)).tag;
const calm = (): Board => withRow(makeBoard(), 'trout-bag', { state: 'holding' });

describe('strip 2 about probes', () => {
  it('counts those that were never checked beside the safety sentence, and leads to them', () => {
    const board = withRow(withRow(calm(), 'trout-bag', { probe: 'never' }), 'chicken', { probe: 'never' });
    expect(tag(board)).toMatchObject({
      text: 'No limit broken',
      note: '2 probes unchecked',
      href: '#/probes',
    });
    expect(tag(calm())).toMatchObject({ note: '', href: null });
  });

  it('counts planned batches too, and says first what failed', () => {
    const planned = withRow(calm(), 'chicken', { probe: 'never', state: 'waiting', tempC: null });
    expect(tag(planned)).toMatchObject({ note: '1 probe unchecked' });
    const both = withRow(planned, 'trout-bag', { probe: 'failed', limit: null });
    expect(tag(both)).toMatchObject({ note: '1 probe failed, 1 unchecked', href: '#/probes' });
    expect(tag(withRow(planned, 'trout-bag', { probe: 'failed' }))).toMatchObject({
      text: "Can't tell: Trout bag probe failed",
      note: '1 unchecked',
    });
  });

  it('never says that no limit is broken while a probe on a limit failed its check', () => {
    expect(tag(withRow(calm(), 'trout-bag', { probe: 'failed' }))).toMatchObject({
      look: 'lost',
      text: "Can't tell: Trout bag probe failed",
      href: '#/item/trout-bag',
    });
  });
});

describe('strip 1', () => {
  it('shows the next action', () => {
    expect(one(makeBoard())).toMatchObject({
      kind: 'action',
      action: { id: 'turn-kofta' },
      when: { number: '2', isNow: false },
    });
  });

  it('shows an unseen alarm before any action', () => {
    expect(one(unsafeBoard())).toMatchObject({ kind: 'alarm', more: 0 });
  });

  it('shows one alarm at a time, the worst first, and counts the others', () => {
    const board = makeBoard({ alarms: [makeAlarm({ id: 'silent', class: 'cannot-tell' }), makeAlarm()] });
    expect(one(board)).toMatchObject({ kind: 'alarm', alarm: { id: 'alarm-trout-bag' }, more: 1 });
  });

  it('goes back to the next action once the alarm was seen', () => {
    expect(one(acknowledgedBoard()).kind).toBe('action');
  });

  it('says louder than anything else that the watch has stopped', () => {
    expect(one({ ...unsafeBoard(), watchOk: false }).kind).toBe('stopped');
  });

  it('offers to start a plan when nothing is planned', () => {
    expect(one(makeBoard({ cookout: null, next: [] }))).toMatchObject({
      title: 'Nothing planned',
      link: { text: 'Start a plan' },
    });
  });

  it('says that a plan has no batches yet, and leads to it', () => {
    const board = makeBoard({ next: [], rows: makeBoard().rows.filter(({ kind }) => kind === 'cold') });
    expect(one(board)).toMatchObject({ title: 'No batches yet', link: { href: '#/plan/dishes' } });
    expect(one(makeBoard({ next: [] }))).toMatchObject({ title: 'Nothing due' });
  });

  it('says that all is served', () => {
    expect(one(makeBoard({ next: [], allServed: true }))).toMatchObject({ title: 'All served' });
  });

  it('waits for the server before the first board, and says when there is no link at all', () => {
    expect(one(null)).toMatchObject({ title: 'Waiting for the server' });
    expect(stripOne(context(null, 0))).toMatchObject({ title: 'No link to the server' });
  });
});

describe('when the next action is due', () => {
  const when = (minutes: number, known = true) =>
    whenText(whenOf(makeAction({ atMs: inMin(minutes), known }), NOW_MS, false));

  it('is whole minutes while it is known', () => {
    expect(when(2.2)).toBe('in 2 min');
    expect(when(0.2)).toBe('in 1 min');
  });

  it('is now from its moment on', () => {
    expect(when(0)).toBe('now');
    expect(when(-3)).toBe('now');
  });

  it('has a plus when it is the early edge of a forecast', () => {
    expect(when(12, false)).toBe('in 12+ min');
  });

  it('is told in hours beyond 90 minutes', () => {
    expect(when(150)).toBe('in 2 h');
  });

  it('is unknown without a link', () => {
    expect(whenText(whenOf(makeAction(), NOW_MS, true))).toBe('?');
  });
});

describe('strip 2', () => {
  it('says that no limit is broken, and nothing more', () => {
    expect(tag(calm())).toMatchObject({ text: 'No limit broken', look: 'plain', glyph: 'ok' });
  });

  it('names what needs watching', () => {
    expect(tag(makeBoard())).toMatchObject({ text: 'No limit broken. Trout bag warming', look: 'watch' });
  });

  it('says that a limit is broken while its alarm still waits, and never beside it that none is', () => {
    const outside = { state: 'watch', tempC: 8.4, outsideMs: 40_000 } as const;
    expect(tag(withRow(makeBoard(), 'trout-bag', outside))).toMatchObject({
      text: 'Trout bag over 8°',
      look: 'watch',
    });
    const hot = tag(withRow(calm(), 'barley', { ...outside, tempC: 61 }));
    expect(hot).toMatchObject({ text: 'Barley under 63°', look: 'watch' });
  });

  it('names what is outside before what nobody can tell', () => {
    const silent = withRow(makeBoard(), 'chicken', { state: 'silent' });
    const board = withRow(silent, 'trout-bag', { outsideMs: 40_000 });
    expect(tag(board).text).toBe('Trout bag over 8°');
    const alarm = makeAlarm({ class: 'cannot-tell', state: 'acknowledged', rowId: 'chicken' });
    expect(tag({ ...board, alarms: [alarm] }).text).toBe('Trout bag over 8°');
  });

  it('offers the record of the cookout that ended last while none is running', () => {
    const board = makeBoard({ cookout: null, next: [], rows: [] });
    const lastEnded = { id: 'supper', name: 'Harvest supper' };
    expect(stripTwo({ ...context(board), lastEnded }).tag).toMatchObject({
      text: 'Record of Harvest supper',
      href: '#/record/supper',
    });
  });

  it('keeps a seen alarm in its frame', () => {
    expect(tag(acknowledgedBoard())).toMatchObject({
      text: 'Trout bag 9.1°',
      note: 'for 13 min, seen',
      look: 'seen',
    });
  });

  it('keeps an alarm that went back to normal until it is seen', () => {
    const board = { ...calm(), alarms: [makeAlarm({ state: 'returned' })] };
    expect(tag(board)).toMatchObject({ text: 'Trout bag was over 8°', note: 'not seen', look: 'seen' });
  });

  it('takes in the next action while an alarm holds strip 1', () => {
    expect(tag(unsafeBoard())).toMatchObject({ text: 'Turn kofta', note: 'in 2 min' });
    expect(stripTwo(context(unsafeBoard())).then?.id).toBe('turn-halloumi');
  });

  it('shows the next alarm beside the first when nothing is due', () => {
    const board = { ...unsafeBoard(), next: [] };
    expect(tag(board).text).toBe('Nothing due');
    const both = {
      ...board,
      alarms: [
        makeAlarm(),
        makeAlarm({ id: 'b', rowId: 'barley', class: 'cannot-tell', title: 'Barley: no reading' }),
      ],
    };
    expect(tag(both)).toMatchObject({ text: 'Barley: no reading', note: 'not seen' });
  });

  it.each([
    ['silent', "Can't tell: 1 probe silent"],
    ['probe-out', "Can't tell: Chicken probe out"],
  ] as const)("can't tell when a probe is %s", (state, text) => {
    expect(tag(withRow(calm(), 'chicken', { state }))).toMatchObject({ text, look: 'lost' });
  });

  it('counts silent probes', () => {
    const board = withRow(withRow(calm(), 'chicken', { state: 'silent' }), 'barley', { state: 'silent' });
    expect(tag(board).text).toBe("Can't tell: 2 probes silent");
  });

  it("can't tell when a bag with a limit was never read", () => {
    expect(tag(withRow(calm(), 'raw-bag', { tempC: null })).text).toBe("Can't tell: Raw meat not read");
  });

  it('never says that no limit is broken when nothing was measured', () => {
    const board = makeBoard({ rows: [makeRow({ tempC: null, sensorId: null, limit: null })] });
    expect(tag(board).text).toBe('Nothing measured yet');
  });

  it('asks for a probe when none was ever heard', () => {
    const board = makeBoard({ rows: [makeRow({ tempC: null, sensorId: null })], sensorsHeard: 0 });
    expect(tag(board)).toMatchObject({ text: 'No probes yet. Switch one on', href: '#/probes' });
  });

  it('offers the record when all is served, but not before a silent pot', () => {
    const served = { ...calm(), next: [], allServed: true };
    expect(tag(served).text).toBe('Record ready');
    expect(tag(withRow(served, 'barley', { state: 'silent' })).text).toBe("Can't tell: 1 probe silent");
  });

  it('says since when there is no link', () => {
    expect(tag(calm(), inMin(-2))).toMatchObject({ text: 'No link since 18:02', look: 'lost' });
  });

  it("can't tell while the watch has stopped", () => {
    expect(tag({ ...calm(), watchOk: false }).text).toBe("Can't tell: limits not checked");
  });

  it('never says that food is safe', () => {
    for (const row of everyStateBoard().rows) {
      const { text, note } = tag(makeBoard({ rows: [row] }));
      expect(`${text} ${note}`).not.toMatch(/\bsafe\b|\bok\b|all good/i);
    }
    expect(tag(makeBoard({ rows: [makeHold()] })).text).toBe('No limit broken');
  });
});

describe('the cookout that ended last', () => {
  it('is the one with the latest end, and none while all run', () => {
    const ended = [10, 30, 20].map((min) => aCookout({ id: `c-${min}`, endedMs: FIVE_PM_MS + min * MIN_MS }));
    expect(lastEndedOf([...ended, aCookout()])?.id).toBe('c-30');
    expect(lastEndedOf([aCookout()])).toBeNull();
  });
});

describe('a tap on strip 1', () => {
  it('counts when nothing changed under the finger', () => {
    const face = nextFace(nextFace(null, 'a', 0), 'a', 5_000);
    expect(isTapMeant(face, 5_001)).toBe(true);
  });

  it('is ignored within 400 ms of a change', () => {
    const face = nextFace(nextFace(null, 'a', 0), 'b', 5_000);
    expect(isTapMeant(face, 5_399)).toBe(false);
    expect(isTapMeant(face, 5_400)).toBe(true);
  });
});
