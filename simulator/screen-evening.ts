import { RecordSchema } from '../server/contract/api.ts';
import { SensorViewSchema } from '../server/contract/probe.ts';
import type { Action, Alarm } from '../server/contract/board.ts';
import { BoardSchema } from '../server/contract/board.ts';
import type { Act } from './act.ts';
import type { Host } from './host.ts';
import { listOf } from './host.ts';
import type { Mapping } from './mapping.ts';
import { actsOf } from './mapping.ts';
import { IceChecks } from './probe-checks.ts';
import type { Scenario } from './scenario.ts';
import { iceOfBoard, iceOfJournal, noteFor, overdueActions, unseenAlarms } from './screen-cook.ts';
import { detailOf } from './set-up.ts';

type Tell = (message: string) => void;
type Evening = {
  host: Host;
  scenario: Scenario;
  cookoutId: string;
  mapping: Mapping;
  /** How long an action may be overdue before the invented cook does it, simulated ms. */
  patienceMs: number;
  tell: Tell;
};

/** After a refusal the same thing is not tried again so soon, real ms. */
const TRY_AGAIN_MS = 10_000;

/** The latest reading of each sensor that the server has stored. */
export async function storedUntil(host: Host): Promise<Map<string, number>> {
  const answer = await host.get('/api/sensors', listOf(SensorViewSchema));
  const latest = new Map<string, number>();
  if (!answer.ok) return latest;
  for (const { id, lastAtMs } of answer.value) if (lastAtMs !== null) latest.set(id, lastAtMs);
  return latest;
}

/** An invented cook who looks at the live screen, does what it says, and reports it there like anyone else. */
export class ScreenEvening {
  readonly #evening: Evening;
  readonly #checks: IceChecks;
  readonly #ice = new Map<string, Act>();
  readonly #refusedAt = new Map<string, number>();

  constructor(evening: Evening) {
    this.#evening = evening;
    this.#checks = new IceChecks(evening.host, evening.scenario.iceReadings);
  }

  /** Finds again the ice that was brought before a restart. */
  async recall(): Promise<void> {
    const { host, scenario, cookoutId, tell } = this.#evening;
    const answer = await host.get(`/api/cookouts/${cookoutId}/record.json`, RecordSchema);
    if (!answer.ok) {
      tell(`no record to look back at: ${answer.why}`);
      return;
    }
    for (const [id, load] of iceOfJournal(scenario, answer.value.journal)) this.#ice.set(id, load);
  }

  /** Everything that is known to have been done, or null when the server does not answer. */
  async acts(): Promise<Act[] | null> {
    const { host, cookoutId, mapping, tell } = this.#evening;
    const answer = await detailOf(host, cookoutId);
    if (answer.ok) return [...actsOf(mapping, answer.value.steps), ...this.#ice.values()];
    tell(`no answer about the cookout: ${answer.why}`);
    return null;
  }

  /** One look at the screen and what follows from it. */
  async look(nowMs: () => number): Promise<void> {
    const { host, scenario, cookoutId, mapping, patienceMs, tell } = this.#evening;
    const answer = await host.get('/api/board', BoardSchema);
    if (!answer.ok) {
      tell(`no answer about the board: ${answer.why}`);
      return;
    }
    const board = answer.value;
    if (board.cookout?.id !== cookoutId) return;
    await this.#checks.record();
    for (const [id, load] of iceOfBoard(scenario, mapping, board.alarms)) {
      if (this.#ice.has(id)) continue;
      this.#ice.set(id, load);
      if (load.kind === 'ice') tell(`${String(load.iceKg)} kg of ice for ${load.place}`);
    }
    for (const action of overdueActions(board, nowMs(), patienceMs)) await this.#act(action, nowMs);
    for (const alarm of unseenAlarms(board, nowMs())) await this.#see(alarm);
  }

  /** The cook goes home: probes are switched off, so nothing is to be watched any more. */
  async close(): Promise<void> {
    const { host, cookoutId, tell } = this.#evening;
    const answer = await host.patch(`/api/cookouts/${cookoutId}`, { ended: true });
    tell(answer.ok ? 'the cookout is closed' : `the cookout could not be closed: ${answer.why}`);
  }

  async #act(action: Action, nowMs: () => number): Promise<void> {
    await this.#tryOnce(action.id, `${action.verb} ${action.full}`, `/api/batches/${action.batchId}/steps`, {
      step: action.step,
      atMs: nowMs(),
    });
  }

  async #see(alarm: Alarm): Promise<void> {
    await this.#tryOnce(
      alarm.id,
      `seen: ${alarm.title}`,
      `/api/alarms/${encodeURIComponent(alarm.id)}/acknowledge`,
      {
        note: noteFor(alarm.kind),
      },
    );
  }

  async #tryOnce(id: string, what: string, path: string, body: object): Promise<void> {
    const refusedAt = this.#refusedAt.get(id);
    if (refusedAt !== undefined && performance.now() - refusedAt < TRY_AGAIN_MS) return;
    const { host, tell } = this.#evening;
    const answer = await host.post(path, body);
    if (answer.ok) {
      tell(what);
      return;
    }
    this.#refusedAt.set(id, performance.now());
    tell(`${what}: not taken (${String(answer.status)}: ${answer.why})`);
  }
}
