import type { Health } from '../contract/api.ts';
import type { CommitStats } from '../ports.ts';
import type { Counters } from './counters.ts';

/** The sweep runs every second; older than this it has stopped, ms. */
const SWEEP_MAX_AGE_MS = 5_000;
/** An evening takes a few MB; below this somebody should make room while there is time. OURS. */
const DISK_LOW_BYTES = 200e6;
const BYTES_PER_MB = 1e6;
const MS_PER_S = 1_000;
/** Names of clients come from the air: only so many are said in a line for people. */
const NAMES_SAID = 3;
const NAME_LENGTH = 40;

export type MachineVitals = {
  /** Room in the data folder; null when it cannot be told. */
  freeBytes: number | null;
  /** All files of the data folder. */
  dataBytes: number | null;
  loopDelayMs: { mean: number; p99: number; max: number };
};
export type BrokerVitals = {
  isUp: boolean;
  detail: string;
  /** Messages on unknown topics of an external broker that were too many to look at. */
  onlyCounted: number;
  /** Of the embedded broker; null where the clients are an external one's. */
  clients: {
    connected: number;
    turnedAway: number;
    slowed: readonly { client: string; slowedMs: number }[];
    slowedEver: readonly { client: string; slowedMs: number }[];
    shared: readonly string[];
  } | null;
};
export type Vitals = {
  isStoring: boolean;
  /** Age of the last whole pass of the watch, real ms; null before the first. */
  sweepAgeMs: number | null;
  watchOk: boolean;
  broker: BrokerVitals;
  screens: number;
  commit: CommitStats;
  counters: Counters;
  machine: MachineVitals;
  /** Topics on which something is heard that nobody understands. */
  foundTopics: number;
  /** How often the server's own clock was moved since the start. */
  clockSteps: number;
};

/** `degraded` when anything is not as it should be; the answer is 503 only when `storing` is not ok. */
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
    disk: diskCheck(v.machine.freeBytes),
    ...(v.broker.clients === null ? {} : { clients: clientsCheck(v.broker.clients) }),
  };
  return { status: Object.values(checks).every((check) => check.ok) ? 'ok' : 'degraded', checks };
}

function diskCheck(freeBytes: number | null): { ok: boolean; detail: string } {
  if (freeBytes === null || Number.isNaN(freeBytes))
    return { ok: false, detail: 'the free space cannot be told' };
  return {
    ok: freeBytes >= DISK_LOW_BYTES,
    detail: `${Math.floor(freeBytes / BYTES_PER_MB)} MB free`,
  };
}

function clientsCheck({ connected, slowed, shared }: NonNullable<BrokerVitals['clients']>): {
  ok: boolean;
  detail: string;
} {
  const parts = [`${connected} connected`];
  if (slowed.length > 0) {
    const names = slowed.map(({ client }) => client);
    parts.push(`sending too much and read more slowly: ${namesText(names)}`);
  }
  if (shared.length > 0) parts.push(`two devices use the same client id: ${namesText(shared)}`);
  return { ok: parts.length === 1, detail: parts.join('; ') };
}

function namesText(names: readonly string[]): string {
  const said = names.slice(0, NAMES_SAID).map((name) => name.slice(0, NAME_LENGTH));
  const more = names.length - said.length;
  return `${said.join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}

type Sample = [labels: string, value: number];
type Family = { name: string; type: 'counter' | 'gauge'; help: string; samples: Sample[] };

/** Prometheus text exposition format 0.0.4. A family without a sample is left out. */
export function metricsText(v: Vitals): string {
  const families = [...intakeFamilies(v), ...commitFamilies(v), ...brokerFamilies(v), ...machineFamilies(v)];
  const lines = families
    .filter(({ samples }) => samples.length > 0)
    .flatMap(({ name, type, help, samples }) => [
      `# HELP ${name} ${help}`,
      `# TYPE ${name} ${type}`,
      ...samples.map(([labels, value]) => `${name}${labels} ${value}`),
    ]);
  return `${lines.join('\n')}\n`;
}

function counter(name: string, help: string, samples: number | Sample[]): Family {
  return {
    name: `tongside_${name}`,
    type: 'counter',
    help,
    samples: typeof samples === 'number' ? [['', samples]] : samples,
  };
}
function gauge(name: string, help: string, samples: number | null | Sample[]): Family {
  const known: Sample[] = samples === null ? [] : typeof samples === 'number' ? [['', samples]] : samples;
  return { name: `tongside_${name}`, type: 'gauge', help, samples: known };
}

/** A label with its value, escaped as the format asks for: backslash, quotation mark and line feed. */
function label(name: string, value: string): string {
  const escaped = value.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('\n', '\\n');
  return `{${name}="${escaped}"}`;
}

function intakeFamilies({ counters, foundTopics, broker }: Vitals): Family[] {
  const by = (name: string, counts: Iterable<[string, number]>): Sample[] =>
    [...counts].map(([value, n]) => [label(name, value), n]);
  return [
    counter('readings_accepted_total', 'Readings stored.', counters.accepted),
    counter('readings_duplicate_total', 'Readings that were already stored.', counters.duplicates),
    counter(
      'messages_total',
      'Messages stored, by what they brought.',
      by('outcome', Object.entries(counters.messages)),
    ),
    counter(
      'payloads_rejected_total',
      'Payloads that could not be understood.',
      by('reason', counters.rejected),
    ),
    counter(
      'outages_total',
      'Stretches in which readings may be missing, ended since the start.',
      by('kind', counters.outages),
    ),
    gauge('found_topics', 'Topics heard that nothing understands.', foundTopics),
    counter(
      'unknown_messages_not_looked_at_total',
      'Messages on unknown topics that were too many to look at.',
      broker.onlyCounted,
    ),
  ];
}

function commitFamilies({ commit, isStoring }: Vitals): Family[] {
  return [
    gauge('storing', '1 while readings are stored.', isStoring ? 1 : 0),
    counter('commits_total', 'Group commits.', commit.commits),
    counter('commit_failures_total', 'Group commits that failed.', commit.failures),
    counter(
      'messages_not_stored_total',
      'Messages not stored and not acknowledged, each time they were tried.',
      commit.refused,
    ),
    counter('commit_seconds_total', 'Time spent in group commits.', commit.totalMs / MS_PER_S),
    gauge('commit_seconds', 'Time of a group commit.', [
      ['{stat="last"}', commit.lastMs / MS_PER_S],
      ['{stat="mean"}', commit.meanMs / MS_PER_S],
      ['{stat="max"}', commit.maxMs / MS_PER_S],
    ]),
  ];
}

function brokerFamilies({ broker, screens, sweepAgeMs }: Vitals): Family[] {
  const { clients } = broker;
  const slowed = clients?.slowedEver.map(({ client, slowedMs }): Sample => [
    label('client', client),
    slowedMs / MS_PER_S,
  ]);
  return [
    gauge('sweep_age_seconds', 'Since the last whole safety sweep.', sweepAgeMs && sweepAgeMs / MS_PER_S),
    gauge('screens', 'Screens connected.', screens),
    gauge('broker_up', '1 while readings can come in.', broker.isUp ? 1 : 0),
    gauge('clients', 'Clients of the embedded broker.', clients?.connected ?? null),
    gauge('clients_slowed', 'Clients held back within the last minute.', clients?.slowed.length ?? null),
    gauge('clients_sharing_an_id', 'Client ids that two devices use.', clients?.shared.length ?? null),
    counter('client_slowed_seconds_total', 'How long a client was held back.', slowed ?? []),
    counter(
      'connections_turned_away_total',
      'Connections beyond the greatest number.',
      clients === null ? [] : clients.turnedAway,
    ),
  ];
}

function machineFamilies({ machine, clockSteps }: Vitals): Family[] {
  const { freeBytes, dataBytes, loopDelayMs } = machine;
  return [
    gauge('disk_free_bytes', 'Room in the data folder.', freeBytes),
    gauge('data_bytes', 'Size of the files in the data folder.', dataBytes),
    gauge('event_loop_delay_seconds', 'How late the loop was since the start.', [
      ['{stat="mean"}', loopDelayMs.mean / MS_PER_S],
      ['{stat="p99"}', loopDelayMs.p99 / MS_PER_S],
      ['{stat="max"}', loopDelayMs.max / MS_PER_S],
    ]),
    counter('clock_steps_total', 'How often the clock of the server was moved.', clockSteps),
  ];
}
