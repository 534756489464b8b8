import type { Act } from './act.ts';
import { createRng, uniform } from './rng.ts';
import type { ScenarioBatch, ZonePlace } from './scenario.ts';
import { dishOf } from './scenario.ts';
import type { BatchNow, Setting, World } from './world.ts';
import { msOf } from './world.ts';
import type { StepKind } from '../server/contract/steps.ts';

type Due = { step: StepKind; atMs: number };

/** How long a busy cook takes to come, s; assumption. */
const COMES_AFTER_S = { least: 5, more: 25 };
/** Without a screen a warm cooler is noticed so long after its probe passed the limit; assumption. */
const ICE_AFTER_MS = 270_000;

function delayMs(setting: Setting, purpose: string): number {
  const rng = createRng(setting.seed, `delay ${purpose}`);
  return Math.round(COMES_AFTER_S.least + COMES_AFTER_S.more * uniform(rng)) * 1000;
}

function turnDue(setting: Setting, batch: ScenarioBatch, now: BatchNow, onMs: number): Due | null {
  const plan = dishOf(setting.scenario, batch).input.turnPlan;
  if (plan?.kind === 'every') {
    return { step: 'turned', atMs: (now.lastTurnMs ?? onMs) + plan.seconds * 1000 };
  }
  if (plan?.kind === 'once' && now.turns === 0 && batch.turnAfterMin !== null) {
    return { step: 'turned', atMs: onMs + batch.turnAfterMin * 60_000 };
  }
  return null;
}

function onTheFire(setting: Setting, batch: ScenarioBatch, now: BatchNow, onMs: number): Due | null {
  const { clockMin } = dishOf(setting.scenario, batch).input;
  if (now.readyMs !== null) return { step: 'off', atMs: now.readyMs };
  const turn = turnDue(setting, batch, now, onMs);
  if (clockMin === undefined || clockMin === null) return turn;
  const off: Due = { step: 'off', atMs: onMs + clockMin * 60_000 };
  return turn !== null && turn.atMs < off.atMs ? turn : off;
}

function nextOf(setting: Setting, batch: ScenarioBatch, now: BatchNow): Due | null {
  if (now.status === 'planned') return { step: 'packed', atMs: msOf(setting, setting.scenario.startMin) };
  if (now.status === 'packed') {
    return batch.onMin === null ? null : { step: 'on', atMs: msOf(setting, batch.onMin) };
  }
  if (now.status === 'on' && now.onMs !== null) return onTheFire(setting, batch, now, now.onMs);
  if (now.status === 'off' && now.offMs !== null && batch.serve !== null) {
    const serveMin = setting.scenario.serveMins[batch.serve] ?? 0;
    const rested = now.offMs + (dishOf(setting.scenario, batch).input.restMin ?? 0) * 60_000;
    return { step: 'served', atMs: Math.max(rested, msOf(setting, serveMin)) };
  }
  return null;
}

function actOf(setting: Setting, batch: ScenarioBatch, step: StepKind, atMs: number): Act {
  const zone = setting.scenario.places.find(
    (place): place is ZonePlace => place.kind === 'zone' && place.key === batch.cooksOn,
  );
  const isOn = step === 'on';
  return {
    kind: 'step',
    atMs,
    batch: batch.key,
    step,
    heat: isOn ? (zone?.heat ?? null) : null,
    place: step === 'packed' ? batch.waitsIn : isOn ? (zone?.key ?? null) : null,
  };
}

/** Lifting the lid for a look and putting it down again. */
function looksDue(setting: Setting, world: World, batch: ScenarioBatch): Act[] {
  const acts: Act[] = [];
  for (const { atMin, forS } of batch.looks) {
    const openMs = msOf(setting, atMin);
    if (world.atMs === openMs) acts.push(actOf(setting, batch, 'lid-opened', openMs));
    if (world.atMs === openMs + forS * 1000) acts.push(actOf(setting, batch, 'lid-closed', world.atMs));
  }
  return acts;
}

/** What a cook who follows the plan and the probes, not a screen, does in this second. */
export function nominalActs(setting: Setting, world: World): Act[] {
  const acts: Act[] = [];
  for (const batch of setting.scenario.batches) {
    const now = world.batches[batch.key];
    if (now === undefined) continue;
    acts.push(...looksDue(setting, world, batch));
    const due = nextOf(setting, batch, now);
    if (due === null) continue;
    const lateMs = delayMs(setting, `${batch.key} ${due.step} ${String(now.turns)}`);
    if (world.atMs >= due.atMs + lateMs) acts.push(actOf(setting, batch, due.step, world.atMs));
  }
  for (const place of setting.scenario.places) {
    const since = world.coolers[place.key]?.overSinceMs ?? null;
    if (place.kind !== 'cooler' || since === null) continue;
    if (world.atMs === since + ICE_AFTER_MS) {
      acts.push({ kind: 'ice', atMs: world.atMs, place: place.key, iceKg: place.iceToAddKg });
    }
  }
  return acts;
}
