import { describe, expect, it } from 'vitest';
import type { Correction, ProbeCheck } from '../../server/contract/probe.ts';
import { checkInput, newCheck, outcomeText, typedHint } from '../../web/views/probes/check-draft.ts';
import {
  batteryLine,
  clockLine,
  correctionLine,
  historyLines,
  standingLine,
} from '../../web/views/probes/probe-lines.ts';
import { FIVE_PM_MS, LONDON, MIN_MS, aSensor } from '../support/plans.ts';

function aCheck(over: Partial<ProbeCheck> = {}): ProbeCheck {
  return {
    id: 'check-1',
    sensorId: 'core-1',
    kind: 'ice',
    atMs: FIVE_PM_MS,
    rawC: 0.4,
    readC: 0.4,
    expectedC: 0,
    windowC: 1,
    altitudeM: null,
    outcome: 'passed',
    ...over,
  };
}
function aCorrection(over: Partial<Correction> = {}): Correction {
  return {
    id: 'corr-1',
    sensorId: 'core-1',
    kind: 'one-point',
    fromMs: FIVE_PM_MS + 5 * MIN_MS,
    gain: 1,
    offsetC: 0.6,
    checkIds: ['check-1'],
    ...over,
  };
}
const failed = aCheck({ readC: 1.6, rawC: 1.6, outcome: 'failed' });

describe('the check of a probe, in one line', () => {
  it.each([
    [aSensor({ standing: 'never' }), 'Never checked'],
    [aSensor({ standing: 'passed', lastCheck: aCheck() }), 'Ice check passed 19 Sept'],
    [
      aSensor({ standing: 'old', lastCheck: aCheck({ kind: 'boil' }) }),
      'Boiling check passed 19 Sept: too long ago, check it again',
    ],
    [
      aSensor({ standing: 'failed', lastCheck: failed }),
      'Failed its ice check 19 Sept: read 1.6°, should read 0.0°',
    ],
    [
      aSensor({
        standing: 'failed',
        lastCheck: aCheck({ kind: 'boil', rawC: 99.4, readC: 99.4, expectedC: 99.4 }),
      }),
      'Failed until its ice check is passed. The boiling check passed 19 Sept',
    ],
    [
      aSensor({ standing: 'failed', lastCheck: failed, correction: aCorrection() }),
      'Its correction changed after the ice check of 19 Sept: check it again',
    ],
  ])('says %#', (sensor, words) => {
    expect(standingLine(sensor, LONDON)).toBe(words);
  });

  it('never says that it passed without a check to show for it', () => {
    expect(standingLine(aSensor({ standing: 'passed', lastCheck: null }), LONDON)).toBe('Never checked');
  });
});

describe('a correction', () => {
  it('is said with its sign and since when', () => {
    expect(correctionLine(aCorrection(), LONDON)).toBe('Corrected by +0.6° since 19 Sept 17:05');
    expect(correctionLine(aCorrection({ offsetC: -0.6 }), LONDON)).toContain('by -0.6°');
  });

  it('of two points is said at both ends', () => {
    const two = aCorrection({ kind: 'two-point', gain: 0.99, offsetC: 0.5 });
    expect(correctionLine(two, LONDON)).toContain('+0.5° in ice and -0.5° at 100°');
  });

  it('that was ended is not said to be in force', () => {
    expect(correctionLine(aCorrection({ kind: 'none' }), LONDON)).toBeNull();
    expect(correctionLine(null, LONDON)).toBeNull();
  });
});

describe('the battery', () => {
  it('is low below 15 percent', () => {
    expect(batteryLine(aSensor({ battery: { percent: 15, atMs: 0 } }))).toMatchObject({ isLow: false });
    expect(batteryLine(aSensor({ battery: { percent: 14.9, atMs: 0 } }))).toMatchObject({ isLow: true });
  });

  it('is not called good when its share is no number', () => {
    const line = batteryLine(aSensor({ battery: { percent: Number.NaN, atMs: 0 } }));
    expect(line).toMatchObject({ isLow: true });
    expect(line?.text).toContain('cannot tell');
  });

  it('is not mentioned for a probe that tells nothing of it', () => {
    expect(batteryLine(aSensor())).toBeNull();
  });
});

describe('a typed check value', () => {
  it('is asked for as the probe itself shows it, with the number as it came, where we correct it', () => {
    const corrected = aSensor({
      correction: aCorrection({ offsetC: -1.6 }),
      lastRawC: 1.6,
      lastValueC: 0,
      ageMs: 2_000,
    });
    expect(typedHint(corrected)).toContain(
      'As the probe itself shows it, without our correction of -1.6°: 1.6° as it came just now',
    );
    expect(typedHint({ ...corrected, ageMs: 900_000 })).not.toContain('just now');
    expect(typedHint(aSensor({ correction: null }))).not.toContain('correction');
  });
});

describe("a probe's own clock", () => {
  it.each([
    [12_000, 'Its clock is 12 s slow'],
    [-90_000, 'Its clock is 2 min fast'],
    [-599_400, 'Its clock is 10 min fast'],
    [59_700, 'Its clock is 1 min slow'],
    [null, 'Its clock is wrong, nobody can tell by how much'],
  ])('%s ms behind', (behindMs, words) => {
    expect(clockLine(aSensor({ clock: { kind: 'off', behindMs } }))).toBe(words);
  });

  it('is not mentioned while it is good or has none', () => {
    expect(clockLine(aSensor({ clock: { kind: 'good', behindMs: 300 } }))).toBeNull();
    expect(clockLine(aSensor())).toBeNull();
  });
});

describe('the history of a probe', () => {
  it('tells checks and corrections in one row, newest first', () => {
    const lines = historyLines({ checks: [failed], corrections: [aCorrection()] });
    expect(lines.map(({ text }) => text)).toEqual([
      'Corrected by +0.6° from here on',
      'Ice check failed: read 1.6°, should read 0.0°',
    ]);
  });
});

describe('a check as it is typed', () => {
  it('takes the live reading when nothing is typed', () => {
    expect(checkInput(newCheck(90))).toEqual({ ok: true, value: { kind: 'ice' } });
  });

  it('takes a typed value with a point or a comma', () => {
    expect(checkInput({ ...newCheck(null), readC: ' 0,4 ' })).toEqual({
      ok: true,
      value: { kind: 'ice', readC: 0.4 },
    });
  });

  it('sends the height above the sea for boiling water only', () => {
    expect(checkInput({ ...newCheck(90), kind: 'boil' })).toEqual({
      ok: true,
      value: { kind: 'boil', altitudeM: 90 },
    });
  });

  it.each([
    [{ ...newCheck(0), readC: 'warm' }, 'readC'],
    [{ ...newCheck(0), kind: 'boil' as const, altitudeM: '9000' }, 'altitudeM'],
  ])('is refused at its field: %j', (draft, field) => {
    const checked = checkInput(draft);
    expect(checked.ok ? [] : Object.keys(checked.errors)).toEqual([field]);
  });

  it('is answered with all its numbers', () => {
    const check = aCheck({ kind: 'boil', readC: 98.1, expectedC: 99.4, altitudeM: 180, outcome: 'failed' });
    expect(outcomeText({ check })).toBe(
      'Boiling check failed: it read 98.1°. Water boils 180 m above the sea at 99.4°, and 1.0° either way is accepted.',
    );
  });
});
