import type { Health } from '../contract/api.ts';
import type { Counters } from './counters.ts';

/** The sweep runs every second; older than this it has stopped, ms. */
const SWEEP_MAX_AGE_MS = 5_000;
const MS_PER_S = 1_000;

export type Vitals = {
  isStoring: boolean;
  /** Age of the last whole pass of the watch, real ms; null before the first. */
  sweepAgeMs: number | null;
  watchOk: boolean;
  broker: { isUp: boolean; detail: string };
  screens: number;
  commit: { commits: number; failures: number; lastMs: number; meanMs: number; maxMs: number };
  counters: Counters;
};

export function healthOf(v: Vitals): Health {
  const swept = v.watchOk && v.sweepAgeMs !== null && v.sweepAgeMs <= SWEEP_MAX_AGE_MS;
  const checks: Health['checks'] = {
    storing: {
      ok: v.isStoring,
      detail: v.isStoring ? 'readings are stored' : 'readings are not being stored',
    },
    watch: {
      ok: swept,
      detail: v.sweepAgeMs === null ? 'not yet' : `limits checked ${Math.round(v.sweepAgeMs)} ms ago`,
    },
    broker: { ok: v.broker.isUp, detail: v.broker.detail },
  };
  return { status: Object.values(checks).every((check) => check.ok) ? 'ok' : 'degraded', checks };
}

/** Prometheus text exposition format 0.0.4. */
export function metricsText(v: Vitals): string {
  const lines: string[] = [];
  const metric = (
    name: string,
    type: 'counter' | 'gauge',
    help: string,
    samples: [labels: string, value: number][],
  ): void => {
    lines.push(`# HELP ${name} ${help}`, `# TYPE ${name} ${type}`);
    for (const [labels, value] of samples) lines.push(`${name}${labels} ${value}`);
  };
  const { counters, commit } = v;
  metric('tongside_readings_accepted_total', 'counter', 'Readings stored.', [['', counters.accepted]]);
  metric('tongside_readings_duplicate_total', 'counter', 'Readings that were already stored.', [
    ['', counters.duplicates],
  ]);
  const rejected = [...counters.rejected].map(([reason, n]): [string, number] => [`{reason="${reason}"}`, n]);
  metric('tongside_payloads_rejected_total', 'counter', 'Payloads that could not be understood.', rejected);
  metric('tongside_commits_total', 'counter', 'Group commits.', [['', commit.commits]]);
  metric('tongside_commit_failures_total', 'counter', 'Group commits that failed.', [['', commit.failures]]);
  metric('tongside_commit_seconds', 'gauge', 'Time of a group commit.', [
    ['{stat="last"}', commit.lastMs / MS_PER_S],
    ['{stat="mean"}', commit.meanMs / MS_PER_S],
    ['{stat="max"}', commit.maxMs / MS_PER_S],
  ]);
  if (v.sweepAgeMs !== null) {
    metric('tongside_sweep_age_seconds', 'gauge', 'Since the last whole safety sweep.', [
      ['', v.sweepAgeMs / MS_PER_S],
    ]);
  }
  metric('tongside_screens', 'gauge', 'Screens connected.', [['', v.screens]]);
  return `${lines.join('\n')}\n`;
}
