import { describe, expect, it } from 'vitest';
import type { TraceProbe } from '../../server/contract/api.ts';
import type { ProbeCheck } from '../../server/contract/probe.ts';
import { doubtedNames, outageText, traceProbeText } from '../../web/views/record/probe-said.ts';
import { FIVE_PM_MS, LONDON, MIN_MS, aTrace } from '../support/plans.ts';

const ICE: ProbeCheck = {
  id: 'check-1',
  sensorId: 'bag-trout',
  kind: 'ice',
  atMs: FIVE_PM_MS - 60 * MIN_MS,
  rawC: 1.6,
  readC: 1.6,
  expectedC: 0,
  windowC: 1,
  altitudeM: null,
  outcome: 'failed',
};
const passed: ProbeCheck = { ...ICE, id: 'check-2', rawC: 0.2, readC: 0.2, outcome: 'passed' };
const probe = (over: Partial<TraceProbe>): TraceProbe => ({
  sensorId: 'bag-trout',
  standing: 'passed',
  checks: [passed],
  corrections: [],
  ...over,
});

describe('the probe behind a trace of the record', () => {
  it.each([
    [probe({}), 'bag-trout: ice check passed 19 Sept'],
    [probe({ standing: 'never', checks: [] }), 'bag-trout: never checked'],
    [probe({ standing: 'old' }), 'bag-trout: ice check passed 19 Sept, too long before'],
    [
      probe({ standing: 'failed', checks: [ICE, passed] }),
      'bag-trout: ice check failed 19 Sept 16:00: read 1.6°, should read 0.0°',
    ],
    [
      probe({ standing: 'failed' }),
      'bag-trout: ice check passed 19 Sept, but its correction changed after it',
    ],
  ])('is told with its check: %#', (one, words) => {
    expect(traceProbeText(one, LONDON)).toBe(words);
  });

  it('is told with the correction that was in force', () => {
    const correction = {
      id: 'corr-1',
      sensorId: 'bag-trout',
      kind: 'one-point' as const,
      fromMs: FIVE_PM_MS,
      gain: 1,
      offsetC: -0.6,
      checkIds: ['check-1'],
    };
    expect(traceProbeText(probe({ corrections: [correction] }), LONDON)).toBe(
      'bag-trout: ice check passed 19 Sept; corrected by -0.6° since 19 Sept 17:00',
    );
  });

  it('puts what it read on the list of its doubt, each name once', () => {
    const traces = [
      aTrace({ probes: [probe({ standing: 'never' })] }),
      aTrace({ name: 'Raw meat', probes: [probe({ standing: 'failed' })] }),
      aTrace({ probes: [probe({ standing: 'never' })] }),
      aTrace({ name: 'Stew', probes: [probe({})] }),
    ];
    expect(doubtedNames(traces, 'never')).toEqual(['Trout bag']);
    expect(doubtedNames(traces, 'failed')).toEqual(['Raw meat']);
  });
});

describe('a stretch in which nobody could hear the probes', () => {
  it.each([
    ['broker-lost', 'Nobody could hear the probes from 17:04 to 17:09: the broker was gone.'],
    [
      'session-lost',
      'Readings may be missing from 17:04 to 17:09: the broker had forgotten what it kept for us.',
    ],
    ['store-failed', 'Readings could not be kept from 17:04 to 17:09: the disk did not take them.'],
    [
      'clock-stepped',
      "The server's clock was moved at 17:09: times before and after it do not fit together.",
    ],
  ] as const)('%s', (kind, words) => {
    const outage = { kind, fromMs: FIVE_PM_MS + 4 * MIN_MS, toMs: FIVE_PM_MS + 9 * MIN_MS, detail: '' };
    expect(outageText(outage, LONDON)).toBe(words);
  });
});
