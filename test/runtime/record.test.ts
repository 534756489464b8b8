import { describe, expect, it } from 'vitest';
import { RecordSchema, type CookoutRecord } from '../../server/contract/api.ts';
import { REASON } from '../../server/contract/reading.ts';
import type { CookoutState, LoggedReading, Outage } from '../../server/ports.ts';
import { buildRecord, recordCsv } from '../../server/runtime/record.ts';
import { aBatch, aCookout, aDish, aPlace, MIN, T0 } from '../support/cookouts.ts';
import { aCheck, aCorrection, MemoryProbes } from '../support/memory-probes.ts';

const DAY = 86_400_000;
const STATE: CookoutState = {
  cookout: aCookout({ endedMs: T0 + 60 * MIN }),
  places: [aPlace()],
  dishes: [aDish()],
  batches: [aBatch()],
  steps: [
    { id: 's1', batchId: 'chicken-1', step: 'on', atMs: T0, zone: 'hot', placeId: null },
    { id: 's2', batchId: 'chicken-1', step: 'off', atMs: T0 + 30 * MIN, zone: null, placeId: null },
  ],
  spotChecks: [{ id: 'c1', batchId: 'chicken-1', tempC: 77, atMs: T0 + 31 * MIN, where: 'middle' }],
  seats: [
    { subjectKind: 'place', subjectId: 'bag', sensorId: 'bag-probe', fromMs: 0, toMs: null },
    { subjectKind: 'batch', subjectId: 'chicken-1', sensorId: 'core-probe', fromMs: 0, toMs: null },
  ],
};

/** Twenty minutes to 80 degC in the core and 4 degC in the bag, every half minute, as sent. */
function logged(probes: MemoryProbes): (sensorId: string, fromMs: number, toMs: number) => LoggedReading[] {
  return (sensorId, fromMs, toMs) =>
    Array.from({ length: 121 }, (_, i): LoggedReading => {
      const atMs = T0 + i * 30_000;
      const rawC = sensorId === 'core-probe' ? Math.min(80, 5 + 2 * i) : 4;
      const { gain, offsetC } = probes.correctionAt(sensorId, atMs) ?? { gain: 1, offsetC: 0 };
      const tempC = gain * rawC + offsetC;
      return { atMs, rawC, tempC, quality: 1, reasons: i === 3 ? REASON.gap : 0, receivedMs: atMs + 200 };
    }).filter((r) => r.atMs >= fromMs && r.atMs <= toMs);
}

function record(probes: MemoryProbes, outages: Outage[] = []): CookoutRecord {
  const built = buildRecord(STATE, {
    nowMs: T0 + 2 * DAY,
    readings: { window: logged(probes) },
    journal: [],
    probes,
    outages: { between: (fromMs, toMs) => outages.filter((o) => o.toMs >= fromMs && o.fromMs <= toMs) },
  });
  return RecordSchema.parse(built);
}
const coreOf = (built: CookoutRecord) => built.traces.find((t) => t.subject.id === 'chicken-1');

describe('a trace of the record', () => {
  it('says of its probe when it was last checked before, and which correction was in force', () => {
    const probes = new MemoryProbes();
    const begun = Math.floor((T0 - DAY) / MIN) * MIN;
    const checks = [
      aCheck({ id: 'old', atMs: T0 - 20 * DAY }),
      aCheck({ id: 'failed', atMs: begun - 1, outcome: 'failed', rawC: -1.2 }),
      aCheck({ id: 'proven', atMs: begun + MIN, rawC: -1.2, readC: 0 }),
      aCheck({ id: 'after', atMs: T0 + DAY }),
    ];
    for (const check of checks) probes.addCheck(check);
    const correction = aCorrection({ fromMs: begun, offsetC: 1.2, checkIds: ['failed'] });
    probes.addCorrection(correction);
    expect(coreOf(record(probes))?.probes).toEqual([
      { sensorId: 'core-probe', standing: 'passed', checks: [checks[2]], corrections: [correction] },
    ]);
    expect(record(probes).traces.find((t) => t.subject.id === 'bag')?.probes).toEqual([
      { sensorId: 'bag-probe', standing: 'never', checks: [], corrections: [] },
    ]);
  });

  it('says the worst of a probe that failed half-way and passed again', () => {
    const probes = new MemoryProbes();
    const checks = [
      aCheck({ atMs: T0 - DAY }),
      aCheck({ atMs: T0 + 5 * MIN, outcome: 'failed' }),
      aCheck({ atMs: T0 + 8 * MIN }),
    ];
    for (const check of checks) probes.addCheck(check);
    expect(coreOf(record(probes))?.probes).toMatchObject([{ standing: 'failed', checks }]);
  });

  it('does not let a probe that stood as failed meet a core limit', () => {
    const good = new MemoryProbes();
    expect(coreOf(record(good))?.core?.state).toBe('met');
    const bad = new MemoryProbes();
    bad.addCheck(aCheck({ atMs: T0 - DAY, outcome: 'failed' }));
    expect(coreOf(record(bad))?.core?.state).not.toBe('met');
  });

  it('is not changed by a correction or a check that came after it', () => {
    const probes = new MemoryProbes();
    const before = coreOf(record(probes));
    probes.addCheck(aCheck({ atMs: T0 + DAY, outcome: 'failed' }));
    probes.addCorrection(aCorrection({ fromMs: Math.ceil((T0 + DAY) / MIN) * MIN }));
    expect(coreOf(record(probes))).toEqual(before);
  });
});

describe('the record', () => {
  it('says when nobody could hear the probes', () => {
    const outage: Outage = { kind: 'broker-lost', fromMs: T0 + MIN, toMs: T0 + 6 * MIN, detail: 'refused' };
    const yesterday = { ...outage, fromMs: T0 - DAY, toMs: T0 - DAY + 1 };
    expect(record(new MemoryProbes(), [yesterday, outage]).outages).toEqual([outage]);
  });
});

describe('the CSV of the record', () => {
  it('has what the probe sent, its correction, its flags, how its checks stood (never, too) and its time of arrival for every reading', () => {
    const probes = new MemoryProbes();
    probes.addCheck(aCheck({ atMs: T0 + MIN, outcome: 'failed' }));
    probes.addCheck(aCheck({ atMs: T0 + 5 * MIN }));
    probes.addCorrection(aCorrection({ fromMs: Math.floor(T0 / MIN) * MIN + 10 * MIN, offsetC: 0.6 }));
    const readings = { logged: logged(probes) };
    const text = [...recordCsv(STATE, { nowMs: T0 + DAY, readings, probes })].join('');
    const [header = '', ...lines] = text.trimEnd().split('\r\n');
    const names = header.split(',');
    const cells = lines.map((line): Record<string, string | undefined> => {
      const values = line.replaceAll(/"[^"]*"/g, 'x').split(',');
      return Object.fromEntries(names.map((name, i) => [name, values[i]]));
    });
    const core = cells.filter((c) => c['sensor'] === 'core-probe');
    expect(core).toHaveLength(121);
    expect(core[3]).toMatchObject({ temp_c: '11', raw_c: '11', correction_gain: '', reasons: 'gap' });
    expect(core[3]).toMatchObject({ quality: '3', probe_check: 'failed' });
    expect(core[1]).toMatchObject({ quality: '1', probe_check: 'never' });
    expect(core[11]).toMatchObject({ quality: '1', probe_check: 'passed' });
    expect(cells.find((c) => c['sensor'] === 'bag-probe')).toMatchObject({ probe_check: 'never' });
    expect(core[40]).toMatchObject({ temp_c: '80.6', raw_c: '80', correction_gain: '1' });
    expect(core[40]).toMatchObject({ correction_offset_c: '0.6' });
    expect(core[0]?.['received_utc']).toBe(new Date(T0 + 200).toISOString());
    expect(cells.filter((c) => c['sensor'] === 'bag-probe')).toHaveLength(121);
    expect(cells.at(-1)).toMatchObject({ source: 'spot-check', temp_c: '77', raw_c: '' });
  });
});
