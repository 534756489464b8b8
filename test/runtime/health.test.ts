import { describe, expect, it } from 'vitest';
import { Counters } from '../../server/runtime/counters.ts';
import { healthOf, metricsText, type Vitals } from '../../server/runtime/health.ts';

const MB = 1e6;
function vitals(over: Partial<Vitals> = {}): Vitals {
  return {
    isStoring: true,
    sweepAgeMs: 300,
    watchOk: true,
    broker: {
      isUp: true,
      detail: 'embedded, 2 connected',
      onlyCounted: 0,
      clients: { connected: 2, turnedAway: 0, slowed: [], slowedEver: [], shared: [] },
    },
    screens: 1,
    commit: { commits: 4, failures: 1, refused: 7, totalMs: 20, lastMs: 4, meanMs: 5, maxMs: 6 },
    counters: new Counters(),
    machine: { freeBytes: 900 * MB, dataBytes: 5 * MB, loopDelayMs: { mean: 1, p99: 3, max: 12 } },
    foundTopics: 0,
    clockSteps: 0,
    ...over,
  };
}
const machine = (freeBytes: number | null): Vitals['machine'] => ({ ...vitals().machine, freeBytes });
const clients = (over: Partial<NonNullable<Vitals['broker']['clients']>>): Vitals['broker'] => {
  const { broker } = vitals();
  if (!broker.clients) throw new Error('no clients');
  return { ...broker, clients: { ...broker.clients, ...over } };
};

describe('health', () => {
  it('is ok when everything is', () => {
    expect(healthOf(vitals()).status).toBe('ok');
  });

  it.each([
    { what: 'readings are not stored', over: { isStoring: false }, check: 'storing' },
    { what: 'the watch failed', over: { watchOk: false }, check: 'watch' },
    { what: 'the watch has not gone through yet', over: { sweepAgeMs: null }, check: 'watch' },
    { what: 'the watch stopped', over: { sweepAgeMs: 5_001 }, check: 'watch' },
    { what: 'the watch has an age that is no number', over: { sweepAgeMs: Number.NaN }, check: 'watch' },
    { what: 'the disk is nearly full', over: { machine: machine(199 * MB) }, check: 'disk' },
    { what: 'the free space is not known', over: { machine: machine(null) }, check: 'disk' },
    { what: 'the free space is no number', over: { machine: machine(Number.NaN) }, check: 'disk' },
    {
      what: 'a client is held back',
      over: { broker: clients({ slowed: [{ client: 'loud', slowedMs: 5 }] }) },
      check: 'clients',
    },
    { what: 'two devices share an id', over: { broker: clients({ shared: ['twin'] }) }, check: 'clients' },
  ])('is degraded, and says by which check, when $what', ({ over, check }) => {
    const { status, checks } = healthOf(vitals(over));
    expect(status).toBe('degraded');
    expect(
      Object.entries(checks)
        .filter(([, { ok }]) => !ok)
        .map(([name]) => name),
    ).toEqual([check]);
  });

  it('has no check of clients that are an external broker’s', () => {
    const broker = { isUp: true, detail: 'connected', onlyCounted: 0, clients: null };
    expect(Object.keys(healthOf(vitals({ broker })).checks)).toEqual(['storing', 'watch', 'broker', 'disk']);
  });

  it('says a few names, cut, and how many more there are', () => {
    const shared = ['a', 'b'.repeat(60), 'c', 'd', 'e'];
    expect(healthOf(vitals({ broker: clients({ shared }) })).checks['clients']?.detail).toBe(
      `2 connected; two devices use the same client id: a, ${'b'.repeat(40)}, c and 2 more`,
    );
  });
});

describe('metrics', () => {
  // Prometheus, "Text-based format", version 0.0.4
  const LINE =
    /^(# (HELP|TYPE) tongside_[a-z_0-9]+ .+|tongside_[a-z_0-9]+(\{[a-z]+="([^"\\\n]|\\["\\n])*"\})? -?[0-9.e+-]+)$/;

  it('are lines of the text format, whatever a client calls itself', () => {
    const slowedEver = [{ client: 'a"b\\c\nd{}', slowedMs: 1_500 }];
    const counters = new Counters();
    counters.outage({ kind: 'session-lost', fromMs: 1, toMs: 2, detail: '' });
    const text = metricsText(vitals({ broker: clients({ slowedEver }), counters }));
    const lines = text.trimEnd().split('\n');
    expect(lines.filter((line) => !LINE.test(line))).toEqual([]);
    expect(lines).toContain('tongside_client_slowed_seconds_total{client="a\\"b\\\\c\\nd{}"} 1.5');
    expect(lines).toContain('tongside_outages_total{kind="session-lost"} 1');
    expect(lines).toContain('tongside_commit_seconds_total 0.02');
    expect(lines).toContain('tongside_messages_not_stored_total 7');
  });

  it('leave out what is not known rather than giving a number for it', () => {
    const text = metricsText(vitals({ machine: machine(null), sweepAgeMs: null }));
    expect(text).not.toContain('tongside_disk_free_bytes');
    expect(text).not.toContain('tongside_sweep_age_seconds');
    expect(metricsText(vitals({ sweepAgeMs: 0 }))).toContain('tongside_sweep_age_seconds 0\n');
  });
});

describe('the counters', () => {
  it('count messages by what they brought, and readings by what became of them', () => {
    const counters = new Counters();
    const reading = {
      sensorId: 's',
      atMs: 1,
      tempC: 4,
      quality: 1 as const,
      receivedMs: 1,
      reasons: 0,
      timeSource: 'device' as const,
      nextWithinS: null,
    };
    const nothing = { readings: [], sides: [], unplugged: [], rejects: [], delivery: null };
    const reject = {
      topic: 't',
      receivedMs: 1,
      reason: 'empty' as const,
      detail: '',
      payload: new Uint8Array(),
    };
    counters.note(
      [
        { ...nothing, readings: [reading, reading] },
        { ...nothing, rejects: [reject, reject] },
        { ...nothing, unplugged: [{ sensorId: 's', receivedMs: 1 }] },
      ],
      { stored: [reading], duplicates: 1 },
    );
    expect(counters).toMatchObject({ accepted: 1, duplicates: 1 });
    expect(counters.messages).toEqual({ readings: 1, rejected: 1, other: 1 });
    expect(counters.rejected).toEqual(new Map([['empty', 2]]));
  });
});
