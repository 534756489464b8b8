import type { TraceProbe } from '../contract/api.ts';
import type { Correction, ProbeHistory, ProbeStanding } from '../contract/probe.ts';
import type { Reading } from '../contract/reading.ts';
import type { ProbeBook } from '../ports.ts';
import { doubtStretches, doubted, standingOf, type Stretch } from '../safety/probe-standing.ts';

type Known = { history: ProbeHistory; stretches: Stretch[] };
type Span = { fromMs: number; toMs: number };

/** What the checks and corrections say of the probes, read from the book once: made new for every pass of the tick. */
export class ProbeTrust {
  private readonly book: Pick<ProbeBook, 'history'>;
  private readonly known = new Map<string, Known>();

  constructor(book: Pick<ProbeBook, 'history'>) {
    this.book = book;
  }

  standingOf(sensorId: string, nowMs: number): ProbeStanding {
    return standingOf(this.of(sensorId).history, nowMs);
  }

  /** As it stood at a moment, by what was known then. */
  standingAt(sensorId: string, atMs: number): ProbeStanding {
    return standingOf(upTo(this.of(sensorId).history, atMs), atMs);
  }

  /** The readings as far as they may be believed: those of a probe that stood as failed are suspect. */
  doubted(sensorId: string, readings: readonly Reading[]): readonly Reading[] {
    return doubted(readings, this.of(sensorId).stretches);
  }

  /** The correction in force at a moment; null = as the probe sent it. */
  correctionAt(sensorId: string, atMs: number): Correction | null {
    return inForceAt(this.of(sensorId).history.corrections, atMs);
  }

  /** What the record says of a probe over the span of a trace. */
  overSpan(sensorId: string, span: Span): TraceProbe {
    const { history } = this.of(sensorId);
    const known = upTo(history, span.toMs);
    const before = known.checks.filter(({ atMs }) => atMs < span.fromMs).slice(-1);
    const during = known.checks.filter(({ atMs }) => atMs >= span.fromMs);
    const atStart = inForceAt(known.corrections, span.fromMs);
    const begun = known.corrections.filter(({ fromMs }) => fromMs > span.fromMs);
    return {
      sensorId,
      standing: worstStanding(history, span),
      checks: [...before, ...during],
      corrections: [...(atStart ? [atStart] : []), ...begun],
    };
  }

  private of(sensorId: string): Known {
    const known = this.known.get(sensorId);
    if (known) return known;
    const read = this.book.history(sensorId);
    const fresh = { history: read, stretches: doubtStretches(read) };
    this.known.set(sensorId, fresh);
    return fresh;
  }
}

const BADNESS: Record<ProbeStanding, number> = { passed: 0, old: 1, never: 2, failed: 3 };

function worstStanding(history: ProbeHistory, { fromMs, toMs }: Span): ProbeStanding {
  const known = upTo(history, toMs);
  const turns = [...known.checks.map((c) => c.atMs), ...known.corrections.map((c) => c.fromMs)];
  const moments = [fromMs, ...turns.filter((atMs) => atMs > fromMs), toMs];
  return moments
    .map((atMs) => standingOf(upTo(history, atMs), atMs))
    .reduce((worst, standing) => (BADNESS[standing] > BADNESS[worst] ? standing : worst));
}

/** What was known at a moment, oldest first. */
function upTo({ checks, corrections }: ProbeHistory, atMs: number): ProbeHistory {
  return {
    checks: checks.filter((c) => c.atMs <= atMs).sort((a, b) => a.atMs - b.atMs),
    corrections: corrections.filter((c) => c.fromMs <= atMs).sort((a, b) => a.fromMs - b.fromMs),
  };
}

/** `none` is a correction that ends the one before. */
function inForceAt(corrections: readonly Correction[], atMs: number): Correction | null {
  const begun = corrections.filter(({ fromMs }) => fromMs <= atMs);
  const newest = begun.reduce<Correction | null>((a, b) => (a && a.fromMs > b.fromMs ? a : b), null);
  return newest?.kind === 'none' ? null : newest;
}
