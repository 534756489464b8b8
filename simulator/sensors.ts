import type { Probe, ProbeSpec } from './physics/probe.ts';
import { followProbe, readProbe } from './physics/probe.ts';
import type { Rng } from './rng.ts';
import { createRng, normal } from './rng.ts';
import { dishOf } from './scenario.ts';
import type { Setting, World } from './world.ts';
import { minuteOf, placeC, tipC } from './world.ts';

export type Sample = { sensor: string; atMs: number; tempC: number };
export type SensorNow = { probe: Probe | null; rng: Rng; offsetC: number };
/** Plain data by sensor. */
export type Sensors = Record<string, SensorNow>;

const CORE_EVERY_MS = 5000;
const PLACE_EVERY_MS = 10_000;
/**
 * Time constants: 3 mm sheath in water 0.2 m/s t90 9.8 s, hence tau 4 s, and about four times that in air
 * (published example times, read second-hand); the handle and a thicker sheath of a zone sensor are an assumption.
 */
const CORE_PROBE = { tauS: 6, noiseC: 0.05 };
const HOLD_PROBE = { tauS: 25, noiseC: 0.03 };
const ZONE_PROBE = { tauS: 45, noiseC: 0.8 };
/** Probe against probe, one standard deviation, degC; assumption. */
const OFFSET_SD_C = 0.05;

export function createSensors(setting: Setting): Sensors {
  const sensors: Sensors = {};
  const add = (id: string): void => {
    const rng = createRng(setting.seed, `sensor ${id}`);
    const draw = Math.max(-2, Math.min(2, normal(rng)));
    sensors[id] = { probe: null, rng, offsetC: OFFSET_SD_C * draw };
  };
  for (const { sensor } of setting.scenario.places) add(sensor);
  for (const { sensor } of setting.scenario.batches) if (sensor !== null) add(sensor);
  return sensors;
}

type Look = { id: string; surroundingC: number | null; spec: Omit<ProbeSpec, 'offsetC'>; everyMs: number };

function follow(world: World, sensors: Sensors, look: Look): Sample | null {
  const sensor = sensors[look.id];
  if (sensor === undefined) return null;
  if (look.surroundingC === null) {
    sensor.probe = null;
    return null;
  }
  // A probe is in its place well before its first reading.
  sensor.probe ??= { tempC: look.surroundingC };
  const spec = { ...look.spec, offsetC: sensor.offsetC };
  followProbe(spec, sensor.probe, look.surroundingC, 1);
  if (world.atMs % look.everyMs !== 0) return null;
  return { sensor: look.id, atMs: world.atMs, tempC: readProbe(spec, sensor.probe, sensor.rng) };
}

/** Lets every probe follow one second, and returns what they send in it. Marks batches whose probe reached the target. */
export function senseWorld(setting: Setting, world: World, sensors: Sensors): Sample[] {
  const minute = minuteOf(setting, world.atMs);
  const samples: Sample[] = [];
  for (const place of setting.scenario.places) {
    const look = {
      id: place.sensor,
      surroundingC: placeC(setting, world, place),
      spec: place.kind === 'zone' ? ZONE_PROBE : HOLD_PROBE,
      everyMs: PLACE_EVERY_MS,
    };
    const sample = follow(world, sensors, look);
    if (sample === null) continue;
    const cooler = world.coolers[place.key];
    if (place.kind === 'cooler' && cooler !== undefined) {
      cooler.overSinceMs = sample.tempC > place.watchC ? (cooler.overSinceMs ?? sample.atMs) : null;
    }
    if (!place.silences.some(({ fromMin, toMin }) => minute >= fromMin && minute < toMin))
      samples.push(sample);
  }
  for (const batch of setting.scenario.batches) {
    if (batch.sensor === null) continue;
    const look = {
      id: batch.sensor,
      surroundingC: tipC(setting, world, batch),
      spec: CORE_PROBE,
      everyMs: CORE_EVERY_MS,
    };
    const sample = follow(world, sensors, look);
    if (sample === null) continue;
    samples.push(sample);
    const now = world.batches[batch.key];
    const targetC = dishOf(setting.scenario, batch).input.targetC ?? null;
    if (now !== undefined && targetC !== null && sample.tempC >= targetC) now.readyMs ??= sample.atMs;
  }
  return samples;
}
