import { SensorViewSchema } from '../server/contract/probe.ts';
import type { Host } from './host.ts';
import { listOf } from './host.ts';
import { Unanswered, must } from './must.ts';

/** What each probe is said to have read in ice water that morning, degC; a probe that is not named was forgotten. */
export type IceReadings = Readonly<Record<string, number>>;

/** Writes down the morning's ice check of each probe, as soon as the server has heard of it. */
export class IceChecks {
  readonly #host: Host;
  readonly #toCome: Map<string, number>;

  constructor(host: Host, readings: IceReadings) {
    this.#host = host;
    this.#toCome = new Map(Object.entries(readings));
  }

  /** Tries again at the next call what the server could not answer. */
  async record(): Promise<void> {
    if (this.#toCome.size === 0) return;
    try {
      const sensors = must(await this.#host.get('/api/sensors', listOf(SensorViewSchema)));
      for (const { id, lastCheck } of sensors) {
        const readC = this.#toCome.get(id);
        if (readC === undefined) continue;
        if (lastCheck === null)
          must(
            await this.#host.post(`/api/sensors/${encodeURIComponent(id)}/checks`, { kind: 'ice', readC }),
          );
        this.#toCome.delete(id);
      }
    } catch (error) {
      if (!(error instanceof Unanswered)) throw error;
    }
  }
}
