import { Router } from 'express';
import {
  CorrectionInputSchema,
  ProbeCheckInputSchema,
  SensorPatchSchema,
  type SensorView,
} from '../../contract/probe.ts';
import { reasonNames } from '../../contract/reading.ts';
import type { CookoutRepository, CookoutState, ReadingArchive, SensorRow } from '../../ports.ts';
import type { ApiDeps, ProbeOutcome } from '../deps.ts';
import { notFound, parseBody, wrongField } from '../problem.ts';

type SensorDeps = Pick<ApiDeps, 'probes' | 'clock' | 'clockOf' | 'unpluggedSinceMs'> & {
  cookouts: Pick<CookoutRepository, 'current'>;
  readings: Pick<ReadingArchive, 'sensors' | 'rename'>;
  live: Pick<ApiDeps['live'], 'refresh'>;
};

/** Where a probe sits in the current cookout: the batch on the fire first, else the plan. */
function seatOf(sensorId: string, state: CookoutState | null): SensorView['assignedTo'] {
  if (!state) return null;
  const place = state.places.find((p) => p.sensorIds.includes(sensorId));
  if (place) return { kind: 'place', id: place.id, name: place.name };
  const done = new Set(
    state.steps.filter((s) => s.step === 'served' || s.step === 'discarded').map((s) => s.batchId),
  );
  const batches = state.batches.filter((b) => b.sensorId === sensorId);
  const batch = batches.find((b) => !done.has(b.id)) ?? batches.at(-1);
  const dish = state.dishes.find((d) => d.id === batch?.dishId);
  if (!batch || !dish) return null;
  return { kind: 'batch', id: batch.id, name: `${dish.name}, ${batch.label}` };
}

function viewOf(row: SensorRow, state: CookoutState | null, deps: SensorDeps): SensorView {
  const { id, label, last, lastRawC, lastReasons, battery } = row;
  const nowMs = deps.clock.nowMs();
  return {
    id,
    label,
    lastValueC: last?.tempC ?? null,
    lastRawC,
    lastAtMs: last?.atMs ?? null,
    ageMs: last ? nowMs - last.atMs : null,
    quality: last?.quality ?? null,
    reasons: reasonNames(lastReasons),
    assignedTo: seatOf(id, state),
    battery,
    unpluggedSinceMs: deps.unpluggedSinceMs(id),
    clock: deps.clockOf(id),
    ...deps.probes.stateOf(id),
  };
}

/** Something that only ever told humidity or a battery is no probe, unless it has a seat or says that its probe is out. */
function isProbe({ lastAtMs, unpluggedSinceMs, assignedTo }: SensorView): boolean {
  return lastAtMs !== null || unpluggedSinceMs !== null || assignedTo !== null;
}

function done<T>(outcome: ProbeOutcome<T>): T {
  if (outcome.kind === 'refused') throw wrongField(outcome.field, outcome.why);
  return outcome.value;
}

export function sensorRoutes(deps: SensorDeps): Router {
  const { readings, cookouts, probes, live } = deps;
  const router = Router();
  const sensor = (id: string): SensorRow => {
    const row = readings.sensors().find((s) => s.id === id);
    if (!row) throw notFound('sensor');
    return row;
  };

  router.get('/sensors', (_req, res) => {
    const state = cookouts.current();
    const views = readings.sensors().map((row) => viewOf(row, state, deps));
    res.json(views.filter(isProbe));
  });

  router.patch('/sensors/:id', (req, res) => {
    const { label } = parseBody(SensorPatchSchema, req.body);
    if (!readings.rename(req.params.id, label)) throw notFound('sensor');
    res.json({ id: req.params.id, label });
  });

  router.get('/sensors/:id/checks', (req, res) => {
    res.json(probes.history(sensor(req.params.id).id));
  });

  router.post('/sensors/:id/checks', (req, res) => {
    const row = sensor(req.params.id);
    const input = parseBody(ProbeCheckInputSchema, req.body);
    const answer = done(probes.check(row, input));
    live.refresh();
    res.status(201).json(answer);
  });

  router.post('/sensors/:id/corrections', (req, res) => {
    const { id } = sensor(req.params.id);
    const input = parseBody(CorrectionInputSchema, req.body);
    const correction = done(probes.correct(id, input));
    live.refresh();
    res.status(201).json(correction);
  });

  return router;
}
