import type { CookoutRecord, RecordTrace, TraceProbe } from '../../../server/contract/api.ts';
import { clockText } from '../../format/clock.ts';
import { shortDayText } from '../../format/day.ts';
import { doubtOf } from '../../standing-words.ts';
import type { Doubt } from '../../standing-words.ts';
import { CHECK_NAMES, correctionLine, readText } from '../probes/probe-lines.ts';

function checkText(probe: TraceProbe, timeZone: string): string {
  const last = probe.checks.at(-1);
  if (probe.standing === 'never' || last === undefined) return 'never checked';
  const failed = probe.checks.findLast(({ outcome }) => outcome === 'failed');
  const told = probe.standing === 'failed' ? (failed ?? last) : last;
  const when = `${CHECK_NAMES[told.kind]} ${told.outcome} ${shortDayText(told.atMs, timeZone)}`;
  switch (probe.standing) {
    case 'passed':
      return when;
    case 'old':
      return `${when}, too long before`;
    case 'failed':
      return told.outcome === 'failed'
        ? `${when} ${clockText(told.atMs, timeZone)}: ${readText(told)}`
        : `${when}, but its correction changed after it`;
  }
}

/** How far a probe behind a trace can be believed: its check and the corrections that were in force. */
export function traceProbeText(probe: TraceProbe, timeZone: string): string {
  const corrections = probe.corrections
    .map((correction) => correctionLine(correction, timeZone))
    .filter((line) => line !== null)
    .map((line) => line.charAt(0).toLowerCase() + line.slice(1));
  return [`${probe.sensorId}: ${checkText(probe, timeZone)}`, ...corrections].join('; ');
}

/** Names of what was read with a probe that failed, or never had, its check. */
export function doubtedNames(traces: readonly RecordTrace[], doubt: Doubt): string[] {
  const own = traces.filter(({ probes }) => probes.some(({ standing }) => doubtOf(standing) === doubt));
  return [...new Set(own.map(({ name }) => name))];
}

type Outage = CookoutRecord['outages'][number];

/** A stretch in which readings may be missing for a reason of the server's, in plain words. */
export function outageText({ kind, fromMs, toMs }: Outage, timeZone: string): string {
  const span = `from ${clockText(fromMs, timeZone)} to ${clockText(toMs, timeZone)}`;
  switch (kind) {
    case 'broker-lost':
      return `Nobody could hear the probes ${span}: the broker was gone.`;
    case 'session-lost':
      return `Readings may be missing ${span}: the broker had forgotten what it kept for us.`;
    case 'store-failed':
      return `Readings could not be kept ${span}: the disk did not take them.`;
    case 'clock-stepped':
      return `The server's clock was moved at ${clockText(toMs, timeZone)}: times before and after it do not fit together.`;
  }
}
