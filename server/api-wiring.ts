import type { AccessControl } from './api/access.ts';
import type { ApiDeps } from './api/deps.ts';
import type { MappingDesk } from './api/mapping-desk.ts';
import type { Config } from './config.ts';
import { isTimeZone } from './contract/time-zone.ts';
import type { Clock, Gate, Log } from './ports.ts';
import { healthOf, metricsText, type Vitals } from './runtime/health.ts';
import type { ProbeDesk } from './runtime/probe-desk.ts';
import { buildRecord, recordCsv } from './runtime/record.ts';
import type { Runtime } from './runtime/runtime.ts';
import type { UnpluggedChannels } from './runtime/unplugged.ts';
import { isStoreFault } from './store/faults.ts';
import { newId } from './store/ids.ts';
import type { Stores } from './stores.ts';

type Wiring = {
  config: Config;
  clock: Clock;
  log: Log;
  stores: Stores;
  runtime: Runtime;
  desk: ProbeDesk;
  mapping: MappingDesk;
  gate: Gate;
  unplugged: UnpluggedChannels;
  access: AccessControl;
  vitals: () => Vitals;
  mqttUrl: () => string;
  webDir: string;
};

/** What the HTTP routes may ask, taken together from everything that is open. */
export function apiDeps(w: Wiring): ApiDeps {
  const { clock, stores, runtime, desk } = w;
  const { cookouts, readings } = stores;
  return {
    cookouts,
    readings,
    probes: desk,
    mapping: w.mapping,
    clockOf: (sensorId) => w.gate.clockOf(sensorId),
    unpluggedSinceMs: (sensorId) => w.unplugged.sinceMs(sensorId),
    clock,
    log: w.log,
    access: w.access,
    newId,
    defaultTimeZone: w.config.timeZone,
    isTimeZone,
    isStoreFault,
    live: {
      board: () => runtime.board(),
      alarms: () => runtime.alarms(),
      forecast: (batchId) => runtime.forecast(batchId),
      acknowledge: (alarmId, note) => runtime.acknowledge(alarmId, note),
      refresh: () => runtime.tick(),
    },
    record: (id) => {
      const state = cookouts.get(id);
      if (!state) return null;
      const journal = stores.journal.entries(id);
      return buildRecord(state, {
        nowMs: clock.nowMs(),
        readings,
        journal,
        probes: desk,
        outages: stores.outages,
      });
    },
    recordCsv: (id) => {
      const state = cookouts.get(id);
      return state ? recordCsv(state, { nowMs: clock.nowMs(), readings, probes: desk }) : null;
    },
    mqttUrl: w.mqttUrl,
    health: () => healthOf(w.vitals()),
    metrics: () => metricsText(w.vitals()),
    webDir: w.webDir,
  };
}
