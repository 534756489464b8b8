import type { Act } from './act.ts';
import { firstDifference, inOrder } from './act.ts';
import { nominalActs } from './nominal-cook.ts';
import type { Sample, Sensors } from './sensors.ts';
import { createSensors, senseWorld } from './sensors.ts';
import type { Setting, World } from './world.ts';
import { createWorld, tickWorld } from './world.ts';

type Moment = { world: World; sensors: Sensors };

/** Distance of the saved moments, ms: going back costs at most this much again. */
const SAVE_EVERY_MS = 120_000;

/**
 * The evening from its beginning to now, as a function of setting and acts. An act that becomes known late, or is
 * withdrawn, takes the evening back to before it and on again; a reading that is out already is not sent twice.
 */
export class Timeline {
  readonly #setting: Setting;
  #acts: Act[] = [];
  #moment: Moment;
  #saved: Moment[] = [];
  #sentUntil = new Map<string, number>();

  constructor(setting: Setting) {
    this.#setting = setting;
    this.#moment = { world: createWorld(setting), sensors: createSensors(setting) };
  }

  get acts(): readonly Act[] {
    return this.#acts;
  }
  /** The world as it is now; to look at. */
  get world(): Readonly<World> {
    return this.#moment.world;
  }

  /** Readings of this sensor up to and including `atMs` are out already. */
  skipUntil(sensor: string, atMs: number): void {
    this.#sentUntil.set(sensor, Math.max(atMs, this.#sentUntil.get(sensor) ?? 0));
  }

  /** Takes the whole list of what was done so far in place of the one known till now. */
  follow(acts: readonly Act[]): void {
    const ordered = inOrder(acts);
    const index = firstDifference(this.#acts, ordered);
    if (index === null) return;
    const changedMs = Math.min(this.#acts[index]?.atMs ?? Infinity, ordered[index]?.atMs ?? Infinity);
    this.#acts = ordered;
    if (changedMs >= this.#moment.world.atMs) return;
    this.#saved = this.#saved.filter(({ world }) => world.atMs < changedMs);
    const last = this.#saved.at(-1);
    this.#moment =
      last === undefined
        ? { world: createWorld(this.#setting), sensors: createSensors(this.#setting) }
        : structuredClone(last);
  }

  /**
   * Goes on to `toMs`.
   * @param cook `nominal`: a cook who follows plan and probes acts on the way; `none`: only the acts that are known
   * @returns what the probes sent, ascending in time
   */
  advance(toMs: number, cook: 'nominal' | 'none'): Sample[] {
    const sent: Sample[] = [];
    const { world, sensors } = this.#moment;
    while (world.atMs < toMs) {
      if (world.atMs % SAVE_EVERY_MS === 0 && this.#saved.at(-1)?.world.atMs !== world.atMs) {
        this.#saved.push(structuredClone(this.#moment));
      }
      if (cook === 'nominal') this.#acts.push(...inOrder(nominalActs(this.#setting, world)));
      tickWorld(this.#setting, world, this.#acts);
      for (const sample of senseWorld(this.#setting, world, sensors)) {
        if (sample.atMs <= (this.#sentUntil.get(sample.sensor) ?? 0)) continue;
        this.#sentUntil.set(sample.sensor, sample.atMs);
        sent.push(sample);
      }
    }
    return sent;
  }
}
