import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CorrectionInput, ProbeCheck, ProbeHistory } from '../../server/contract/probe.ts';
import { beginsMs, correctionFrom, offersAfter } from '../../server/safety/probe-correction.ts';
import { aCheck, aCorrection } from '../support/memory-probes.ts';

const NOW_MS = 1_760_000_000_000;
const MIN_MS = 60_000;
const HOUR_MS = 60 * MIN_MS;

const ice = (rawC: number, over: Partial<ProbeCheck> = {}): ProbeCheck =>
  aCheck({ id: 'ice', atMs: NOW_MS - 10 * MIN_MS, rawC, ...over });
const boil = (rawC: number, over: Partial<ProbeCheck> = {}): ProbeCheck =>
  aCheck({
    id: 'boil',
    kind: 'boil',
    atMs: NOW_MS - 2 * MIN_MS,
    rawC,
    expectedC: 99.97,
    altitudeM: 0,
    ...over,
  });
const book = (checks: ProbeCheck[], corrections: ProbeHistory['corrections'] = []): ProbeHistory => ({
  checks,
  corrections,
});
const ask = (history: ProbeHistory, input: CorrectionInput) => correctionFrom(history, input, NOW_MS);
const whyOf = (result: ReturnType<typeof ask>): string => (result.kind === 'refused' ? result.why : '');
const byIce: CorrectionInput = { kind: 'one-point', checkIds: ['ice'] };
const byBoth: CorrectionInput = { kind: 'two-point', checkIds: ['ice', 'boil'] };

describe('a correction by one point', () => {
  it('moves every reading by what the check was off', () => {
    expect(ask(book([ice(-0.6)]), byIce)).toEqual({ kind: 'allowed', gain: 1, offsetC: 0.6 });
    expect(ask(book([boil(101.2)]), { kind: 'one-point', checkIds: ['boil'] })).toEqual({
      kind: 'allowed',
      gain: 1,
      offsetC: -1.23,
    });
  });

  it('rests on what the probe sent, not on what an earlier correction made of it', () => {
    expect(ask(book([ice(-0.6, { readC: 0.9 })]), byIce)).toMatchObject({ offsetC: 0.6 });
  });

  it('is refused beyond 3 °C, and without a number', () => {
    expect(ask(book([ice(3)]), byIce)).toMatchObject({ kind: 'allowed', offsetC: -3 });
    for (const rawC of [3.01, -3.01, 40, NaN])
      expect(ask(book([ice(rawC)]), byIce)).toMatchObject({ kind: 'refused' });
  });

  it('is refused where it would put a check of the other kind out', () => {
    const history = book([ice(-0.9), boil(100.3)]);
    expect(whyOf(ask(history, byIce))).toContain('boiling');
    expect(ask(book([ice(-0.9), boil(99.5)]), byIce)).toMatchObject({ kind: 'allowed' });
  });

  it('rests on the newest check of its kind, made within a day, of this probe', () => {
    const later = ice(0, { id: 'later', atMs: NOW_MS - MIN_MS });
    expect(ask(book([later, ice(-0.6)]), byIce)).toMatchObject({ kind: 'refused' });
    expect(ask(book([ice(-0.6, { atMs: NOW_MS - 25 * HOUR_MS })]), byIce)).toMatchObject({ kind: 'refused' });
    expect(ask(book([]), byIce)).toMatchObject({ kind: 'refused' });
    expect(ask(book([ice(-0.6)]), { kind: 'one-point', checkIds: [] })).toMatchObject({ kind: 'refused' });
  });
});

describe('a correction by two points', () => {
  it('puts both checks right, whatever the probe makes of the heat within its bounds', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -2.6, max: 2.6, noNaN: true }),
        fc.double({ min: 0.92, max: 1.09, noNaN: true }),
        (atIceC, slope) => {
          const atBoilC = atIceC + 99.97 * slope;
          const result = ask(book([ice(atIceC), boil(atBoilC)]), byBoth);
          if (result.kind !== 'allowed') throw new Error(result.why);
          expect(result.gain * atIceC + result.offsetC).toBeCloseTo(0, 2);
          expect(result.gain * atBoilC + result.offsetC).toBeCloseTo(99.97, 2);
        },
      ),
    );
  });

  it('is refused for a gain outside 0.9 to 1.1, and for two checks that read the same', () => {
    for (const rawC of [0, 88, 112])
      expect(ask(book([ice(0), boil(rawC)]), byBoth)).toMatchObject({ kind: 'refused' });
  });

  it('needs an ice and a boiling check of the same hour', () => {
    const apart = book([ice(-0.5, { atMs: NOW_MS - 63 * MIN_MS }), boil(99)]);
    expect(whyOf(ask(apart, byBoth))).toContain('an hour');
    expect(ask(book([ice(-0.5)]), { kind: 'two-point', checkIds: ['ice'] })).toMatchObject({
      kind: 'refused',
    });
    expect(ask(book([ice(-0.5)]), { kind: 'two-point', checkIds: ['ice', 'ice'] })).toMatchObject({
      kind: 'refused',
    });
  });
});

describe('going back to the bare reading', () => {
  it('needs a correction to go back from, and no check', () => {
    const bare: CorrectionInput = { kind: 'none', checkIds: [] };
    expect(ask(book([], [aCorrection()]), bare)).toEqual({ kind: 'allowed', gain: 1, offsetC: 0 });
    expect(ask(book([]), bare)).toMatchObject({ kind: 'refused' });
    expect(ask(book([], [aCorrection(), aCorrection({ kind: 'none', fromMs: MIN_MS })]), bare)).toMatchObject(
      {
        kind: 'refused',
      },
    );
    expect(ask(book([ice(0)], [aCorrection()]), { ...bare, checkIds: ['ice'] })).toMatchObject({
      kind: 'refused',
    });
  });
});

describe('what is offered after a check', () => {
  it('is nothing when the probe is right', () => {
    expect(offersAfter(ice(0.05), book([ice(0.05)]), NOW_MS)).toEqual({ offers: [], beyondCorrecting: null });
  });

  it('is one point after one check, and two points first once both kinds are there', () => {
    const lone = ice(-1.4, { outcome: 'failed' });
    expect(offersAfter(lone, book([lone]), NOW_MS).offers).toEqual([{ ...byIce, gain: 1, offsetC: 1.4 }]);
    const both = offersAfter(boil(99), book([ice(-0.6), boil(99)]), NOW_MS);
    expect(both.offers.map((o) => o.kind)).toEqual(['two-point', 'one-point']);
    for (const { kind, checkIds, gain, offsetC } of both.offers)
      expect(ask(book([ice(-0.6), boil(99)]), { kind, checkIds })).toEqual({
        kind: 'allowed',
        gain,
        offsetC,
      });
  });

  it('is nothing for a probe that is too far off, and says so', () => {
    const far = ice(4, { outcome: 'failed' });
    expect(offersAfter(far, book([far]), NOW_MS)).toEqual({
      offers: [],
      beyondCorrecting: 'it is off by more than 3 °C: do not use this probe',
    });
  });
});

describe('when a correction begins', () => {
  it('is a whole minute in the future, after anything that a clock ahead of the server may have sent', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 4e12 }), (nowMs) => {
        const atMs = beginsMs([], nowMs);
        expect(atMs % MIN_MS).toBe(0);
        expect(atMs - nowMs).toBeGreaterThan(5_000);
        expect(atMs - nowMs).toBeLessThanOrEqual(65_000);
      }),
    );
  });

  it('is after every correction that is there', () => {
    const fromMs = Math.ceil(NOW_MS / MIN_MS) * MIN_MS + MIN_MS;
    expect(beginsMs([aCorrection({ fromMs })], NOW_MS)).toBe(fromMs + MIN_MS);
  });
});
