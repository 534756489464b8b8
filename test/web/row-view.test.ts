import { describe, expect, it } from 'vitest';
import { ROW_STATES } from '../../server/contract/board.ts';
import type { Row } from '../../server/contract/board.ts';
import { remember } from '../../web/views/live/numbers.ts';
import { rowSentence } from '../../web/views/live/row-sentence.ts';
import { rowView } from '../../web/views/live/row-view.ts';
import type { RowContext } from '../../web/views/live/row-view.ts';
import {
  CORE_LIMIT,
  HOT_LIMIT,
  NEVER,
  NOW_MS,
  ZONE,
  inMin,
  makeHold,
  makeRow,
  quantilesIn,
} from '../support/boards.ts';
import { everyStateBoard } from '../support/every-state-board.ts';

const MINUTE_MS = 60_000;
const context = (row: Row, change: Partial<RowContext> = {}): RowContext => ({
  nowMs: NOW_MS,
  timeZone: ZONE,
  memory: remember(undefined, row, NOW_MS),
  isLinkLost: false,
  ...change,
});
const view = (row: Row, change: Partial<RowContext> = {}) => rowView(row, context(row, change));
const sentence = (row: Row, change: Partial<RowContext> = {}) => rowSentence(row, view(row, change));

// Words of every state: design note "The look", sections 10 and 12.
describe('a row at the grill', () => {
  it('with a forecast shows its core, its target and its range', () => {
    expect(view(makeRow())).toMatchObject({
      frame: 'plain',
      temp: '68 › 75°',
      number: '6–9',
      unit: 'min',
      say: '',
    });
  });

  it('never reads as if it had reached its target when it is a shade short of it', () => {
    expect(view(makeRow({ tempC: 74.97 })).temp).toBe('74 › 75°');
  });

  it('that may be late says how often it is on time', () => {
    expect(view(makeRow({ state: 'unsure', onTimeOf10: 5 }))).toMatchObject({
      say: '5 in 10 on time',
      isSayStrong: true,
    });
  });

  it('that is on time nine times in ten says nothing about it', () => {
    expect(view(makeRow({ onTimeOf10: 9 })).say).toBe('');
  });

  it('by the clock shows the minutes to take-off and no temperature', () => {
    const row = makeRow({
      kind: 'clock',
      state: 'by-clock',
      quantilesMs: null,
      known: [{ verb: 'off', atMs: inMin(8) }],
    });
    expect(view(row)).toMatchObject({ temp: 'by clock', number: '8', unit: 'min' });
  });

  it('without a probe has a range and coals by the clock, never the minutes to its turn', () => {
    const row = makeRow({
      state: 'by-clock',
      basis: 'clock',
      sensorId: null,
      tempC: null,
      lastReadingMs: null,
      quantilesMs: quantilesIn(1, 2, 3, 4, 5, 6, 7, 8, 10, 14),
      known: [{ verb: 'turn', atMs: inMin(23) }],
      onTimeOf10: null,
    });
    expect(view(row)).toMatchObject({ temp: 'by clock', number: '2–10', unit: 'min', lane: 'forecast' });
    expect(sentence(row)).toBe('Chicken thighs, by the clock, ready in 2 to 10 minutes.');
  });

  it('by the clock with nothing but a turn known shows a dash, not the turn', () => {
    const row = makeRow({
      kind: 'clock',
      state: 'by-clock',
      quantilesMs: null,
      known: [{ verb: 'turn', atMs: inMin(4) }],
    });
    expect(view(row).number).toBe('–');
    expect(sentence(row)).toContain('no time known');
  });

  it('that rests shows no old temperature as if it were now', () => {
    const rests = { state: 'resting', status: 'off', quantilesMs: null } as const;
    expect(view(makeRow({ ...rests, lastReadingMs: inMin(-0.9) })).isTempStruck).toBe(false);
    expect(view(makeRow({ ...rests, lastReadingMs: inMin(-1.1) }))).toMatchObject({
      temp: '68°',
      isTempStruck: true,
    });
    expect(view(makeRow({ ...rests, lastReadingMs: null })).isTempStruck).toBe(true);
    expect(view(makeRow({ ...rests, lastReadingMs: NaN })).isTempStruck).toBe(true);
    expect(view(makeRow({ ...rests, tempC: null }))).toMatchObject({ temp: '–', isTempStruck: false });
    expect(sentence(makeRow({ ...rests, lastReadingMs: inMin(-2) }))).toContain('last read 68 degrees');
  });

  it('that waits is plain in second ink and says in how many minutes it goes on', () => {
    const row = makeRow({ state: 'waiting', quantilesMs: null, known: [{ verb: 'on', atMs: inMin(12) }] });
    expect(view(row)).toMatchObject({ frame: 'second', before: 'in', number: '12', unit: 'min' });
  });

  it('that waits for more than 90 minutes names the clock time', () => {
    const row = makeRow({ state: 'waiting', quantilesMs: null, known: [{ verb: 'on', atMs: inMin(120) }] });
    expect(view(row)).toMatchObject({ before: 'at', number: '20:04', unit: '' });
  });

  it('that is still learning shows a dash and how many minutes are missing', () => {
    const row = makeRow({ state: 'learning', quantilesMs: null, learnMin: 3.2 });
    expect(view(row)).toMatchObject({
      number: '–',
      say: 'learning, 4 min more',
      isGroundDashed: true,
      lane: 'empty',
    });
  });

  it('that stalled has no forecast and says since when', () => {
    const row = makeRow({ state: 'stalled', quantilesMs: null, sinceMs: inMin(-14) });
    expect(view(row)).toMatchObject({
      glyph: 'stall',
      unit: '14 min',
      say: 'stalled since 17:50, no forecast',
    });
  });

  it('that is ready says now and what to do', () => {
    const row = makeRow({ state: 'ready', quantilesMs: null, known: [{ verb: 'off', atMs: NOW_MS }] });
    expect(view(row)).toMatchObject({ frame: 'do', number: 'now', say: 'take off' });
  });

  it('that is overdue says how late and how far past its target', () => {
    const row = makeRow({ state: 'overdue', tempC: 79.4, quantilesMs: null, sinceMs: inMin(-4) });
    expect(view(row)).toMatchObject({ frame: 'do', number: '+4', unit: 'min late', say: '4° past target' });
  });

  it('that rests shows the minutes to serving', () => {
    const row = makeRow({ state: 'resting', quantilesMs: null, known: [{ verb: 'serve', atMs: inMin(22) }] });
    expect(view(row)).toMatchObject({ glyph: 'rest', unit: '22 min', temp: '68°' });
  });

  it('whose probe seems to be out asks so, and strikes the temperature through', () => {
    const row = makeRow({ state: 'probe-out', quantilesMs: null, fell: { byC: 31, inMs: MINUTE_MS } });
    expect(view(row)).toMatchObject({
      frame: 'lost',
      isTempStruck: true,
      say: 'fell 31° in 1 min. Probe out of the food?',
    });
  });

  it('that is off is told in second ink with its clock time', () => {
    const row = makeRow({ state: 'off', quantilesMs: null, sinceMs: inMin(8) });
    expect(view(row)).toMatchObject({ frame: 'second', temp: '18:12', glyph: 'seen' });
  });

  it('that came off short of its core limit names the limit in the words of its source', () => {
    const row = makeRow({
      state: 'unsafe',
      limit: CORE_LIMIT,
      quantilesMs: null,
      sinceMs: null,
      outsideMs: null,
    });
    expect(view(row)).toMatchObject({
      frame: 'unsafe',
      glyph: 'unsafe',
      unit: 'short',
      say: 'short of 70 °C for 2 min',
    });
  });
});

describe('a bag or pot', () => {
  it('counts from its first moment, rounded down', () => {
    expect(view(makeHold())).toMatchObject({
      temp: '6.7°',
      number: '25+',
      unit: 'min cold',
      lane: 'forecast',
    });
    expect(view(makeHold({ kind: 'hot', limit: HOT_LIMIT, tempC: 74.9 }))).toMatchObject({
      temp: '74°',
      unit: 'min hot',
    });
  });

  it('that lasts beyond the axis reads 90+', () => {
    expect(view(makeHold({ quantilesMs: NEVER })).number).toBe('90+');
  });

  it('without a forecast shows a dash and the reason, never an old number', () => {
    const row = makeHold({ quantilesMs: null, why: 'learning' });
    expect(view(row)).toMatchObject({ number: '–', unit: '', say: 'learning' });
  });

  it('over its limit counts the minutes outside and says since when', () => {
    const row = makeHold({
      state: 'unsafe',
      tempC: 9.1,
      quantilesMs: null,
      sinceMs: inMin(-12),
      outsideMs: 12 * MINUTE_MS,
    });
    expect(view(row)).toMatchObject({
      frame: 'unsafe',
      number: '12',
      unit: 'min over',
      say: 'over 8° since 17:52',
      lane: 'stub',
    });
  });

  it('says that it is over its limit before its alarm is raised', () => {
    const row = makeHold({ state: 'watch', tempC: 8.4, outsideMs: 70_000, sinceMs: null });
    expect(view(row)).toMatchObject({
      frame: 'watch',
      number: '1',
      unit: 'min over',
      say: 'over 8°',
      lane: 'stub',
    });
    expect(sentence(row)).toBe('Trout bag, 8.4 degrees, limit 8 degrees, over 8 degrees for 1 minute.');
  });

  it('that was seen keeps its frame until the cause is gone', () => {
    const row = makeHold({
      state: 'acknowledged',
      tempC: 9,
      quantilesMs: null,
      seenMs: inMin(1),
      outsideMs: 14 * MINUTE_MS,
    });
    expect(view(row)).toMatchObject({ frame: 'seen', say: 'seen 18:05', number: '14' });
  });
});

describe('a bag that came back before its alarm went', () => {
  it('was over its limit: nothing says that it still is', () => {
    const row = makeHold({
      state: 'acknowledged',
      tempC: 7.5,
      quantilesMs: null,
      seenMs: inMin(1),
      sinceMs: null,
      outsideMs: null,
    });
    expect(view(row)).toMatchObject({ frame: 'seen', glyph: 'unsafe', unit: 'was over', say: 'seen 18:05' });
  });
});

describe('what nobody can tell', () => {
  const silent = makeRow({ state: 'silent', lastReadingMs: inMin(-4) });

  it('shows a question mark, the age, and the temperature struck through', () => {
    expect(view(silent)).toMatchObject({
      frame: 'lost',
      number: '?',
      unit: '4 min old',
      say: 'silent since 18:00',
      isTempStruck: true,
      temp: '68°',
    });
  });

  it('keeps ghost coals for ten minutes and then nothing', () => {
    expect(view(silent).lane).toBe('ghost');
    expect(view(silent, { nowMs: inMin(7) }).lane).toBe('empty');
  });

  it.each(ROW_STATES.filter((state) => state !== 'off'))(
    'is every number of a row in state %s once the link is lost',
    (state) => {
      const shown = view(makeHold({ state }), { isLinkLost: true });
      expect(shown).toMatchObject({ frame: 'lost', number: '?' });
      expect(shown.lane).not.toBe('forecast');
    },
  );

  it('is never drawn as a forecast', () => {
    for (const row of everyStateBoard().rows.filter(({ quantilesMs }) => quantilesMs === null)) {
      expect(view(row).number).not.toMatch(/^\d+–\d+$/);
    }
  });
});

describe('a probe that failed or never had its check', () => {
  it.each(['failed', 'never'] as const)('says so beside its temperature and in the sentence: %s', (probe) => {
    expect(view(makeRow({ probe })).doubt).toBe(probe);
    expect(view(makeHold({ probe, state: 'unsafe' })).doubt).toBe(probe);
    expect(sentence(makeRow({ probe }))).toMatch(/, its probe (failed its check|never checked)\.$/);
  });

  it('is not mentioned when it passed, or when there is none, or when the food is gone', () => {
    expect(view(makeRow({ probe: 'passed' })).doubt).toBeNull();
    expect(view(makeRow({ probe: null })).doubt).toBeNull();
    expect(view(makeRow({ probe: 'failed', state: 'off' })).doubt).toBeNull();
  });
});

describe('a suspect value', () => {
  it('has a mark and the word beside it, never plain', () => {
    expect(view(makeRow({ suspect: true, tempC: 34.2 }))).toMatchObject({
      temp: '34? › 75°',
      doubt: 'suspect',
    });
    expect(view(makeHold({ suspect: true, tempC: 4.2 }))).toMatchObject({ temp: '4.2°?', doubt: 'suspect' });
    expect(view(makeRow({ suspect: true, probe: 'never' })).doubt).toBe('suspect');
    expect(sentence(makeRow({ suspect: true, probe: 'never' }))).toMatch(
      /, suspect value, its probe never checked\.$/,
    );
  });

  it('of a probe that failed its check says that', () => {
    expect(view(makeRow({ suspect: true, probe: 'failed', tempC: 34.2 }))).toMatchObject({
      temp: '34? › 75°',
      doubt: 'failed',
    });
  });

  it('is no longer called so once it is old', () => {
    const old = makeRow({ suspect: true, state: 'silent', lastReadingMs: inMin(-4) });
    expect(view(old)).toMatchObject({ temp: '68°', isTempStruck: true, doubt: null });
    expect(sentence(old)).not.toContain('suspect');
  });
});

describe('the sentence of a row', () => {
  it('says the whole row', () => {
    expect(sentence(makeRow())).toBe(
      'Chicken thighs, 68 of 75 degrees, ready in 6 to 9 minutes, 10 in 10 on time.',
    );
  });

  it('says how long a bag lasts', () => {
    expect(sentence(makeHold({ state: 'watch' }))).toBe(
      'Trout bag, 6.7 degrees, limit 8 degrees, lasts at least 25 minutes cold, warming.',
    );
  });

  it('says that an old number is old', () => {
    expect(sentence(makeRow({ state: 'silent', lastReadingMs: inMin(-4) }))).toBe(
      "Chicken thighs, last read 68 degrees, can't tell, silent since 18:00.",
    );
  });

  it.each(everyStateBoard().rows.map((row) => [row.state, row] as const))(
    'in state %s is words only: no sign, no empty part',
    (_, row) => {
      const said = sentence(row);
      expect(said).toMatch(/^[A-Z].*\.$/);
      expect(said).not.toMatch(/[°›+–?]|, ,|undefined|null|NaN/);
    },
  );

  it('never says that food is safe', () => {
    for (const row of everyStateBoard().rows) expect(sentence(row)).not.toMatch(/\bsafe\b|\bok\b|all good/i);
  });
});
