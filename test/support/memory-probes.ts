import type { Correction, ProbeCheck, ProbeHistory } from '../../server/contract/probe.ts';
import type { ProbeBook } from '../../server/ports.ts';

/** A book of checks and corrections in memory, by the rules of the port. */
export class MemoryProbes implements ProbeBook {
  private readonly checks: ProbeCheck[] = [];
  private readonly corrections: Correction[] = [];

  history(sensorId: string): ProbeHistory {
    return {
      checks: this.checks.filter((c) => c.sensorId === sensorId),
      corrections: this.corrections.filter((c) => c.sensorId === sensorId),
    };
  }
  lastChecks(): ProbeCheck[] {
    const newest = new Map(this.checks.map((check) => [check.sensorId, check]));
    return [...newest.values()];
  }
  correctionAt(sensorId: string, atMs: number): Correction | null {
    const begun = this.corrections.filter((c) => c.sensorId === sensorId && c.fromMs <= atMs);
    return begun.at(-1) ?? null;
  }
  addCheck(check: ProbeCheck): void {
    this.checks.push(check);
  }
  addCorrection(correction: Correction): void {
    const last = this.corrections.filter((c) => c.sensorId === correction.sensorId).at(-1);
    if (correction.fromMs % 60_000 !== 0 || (last && correction.fromMs <= last.fromMs))
      throw new RangeError(`fromMs: expected a whole minute after the last, got ${correction.fromMs}`);
    this.corrections.push(correction);
  }
}

/** A check of a probe that was right, unless told otherwise. */
export function aCheck(over: Partial<ProbeCheck> = {}): ProbeCheck {
  const rawC = over.rawC ?? over.readC ?? 0;
  const kind = over.kind ?? 'ice';
  return {
    id: `check-${over.sensorId ?? 'core-probe'}-${over.atMs ?? 0}-${kind}`,
    sensorId: 'core-probe',
    kind,
    atMs: 0,
    rawC,
    readC: over.readC ?? rawC,
    expectedC: 0,
    windowC: 1,
    altitudeM: null,
    outcome: 'passed',
    ...over,
  };
}

export function aCorrection(over: Partial<Correction> = {}): Correction {
  return {
    id: `correction-${over.fromMs ?? 0}`,
    sensorId: 'core-probe',
    kind: 'one-point',
    fromMs: 0,
    gain: 1,
    offsetC: 0.6,
    checkIds: [],
    ...over,
  };
}
