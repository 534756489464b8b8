import type { MqttClient } from 'mqtt';
import { connect } from 'mqtt';
import { Ring } from './ring.ts';
import type { Sample } from './sensors.ts';

export type BrokerAccess = { url: string; user: string | null; password: string | null };
type Tell = (message: string) => void;

const RING_SIZE = 4000;
/** Unacknowledged at once; the broker commits them as groups. */
const WINDOW = 200;
const RETRY_FIRST_MS = 250;
const RETRY_LAST_MS = 2000;
const CONNECT_TIMEOUT_MS = 5000;
/** No acknowledgement for so long although some are due: the connection is taken as lost. */
const DEAF_AFTER_MS = 10_000;
const ROOM_POLL_MS = 20;

function messageOf({ sensor, atMs, tempC }: Sample): { topic: string; payload: string } {
  return {
    topic: `tongside/reading/${sensor}`,
    payload: JSON.stringify({ value: tempC, unit: 'Cel', time: atMs }),
  };
}

/**
 * Sends readings with QoS 1 and keeps each until it is acknowledged. Each connection is a client of its own: MQTT.js
 * drops publishes that were queued while it replays its store if the connection goes again (MQTT.js issue 2015), so
 * after a loss everything unacknowledged is published anew. A reading carries its time; a repeat is harmless.
 */
export class Publisher {
  readonly #access: BrokerAccess;
  readonly #tell: Tell;
  readonly #ring = new Ring<Sample>(RING_SIZE);
  #client: MqttClient | null = null;
  #isUp = false;
  #retryMs = RETRY_FIRST_MS;
  #retry: NodeJS.Timeout | null = null;
  #deaf: NodeJS.Timeout | null = null;
  #acknowledged = 0;
  #isClosed = false;

  constructor(access: BrokerAccess, tell: Tell) {
    this.#access = access;
    this.#tell = tell;
    this.#connect();
  }

  get acknowledged(): number {
    return this.#acknowledged;
  }
  get unacknowledged(): number {
    return this.#ring.size;
  }

  /** Sends one, once there is room; gives up when told to stop. */
  async send(sample: Sample, stop: AbortSignal): Promise<void> {
    while (!this.#ring.offer(sample)) {
      if (stop.aborted) return;
      await new Promise((resolve) => setTimeout(resolve, ROOM_POLL_MS));
    }
    this.#pump();
  }

  /** True when everything was acknowledged in time. */
  async flush(withinMs: number): Promise<boolean> {
    const endMs = performance.now() + withinMs;
    while (this.#ring.size > 0 && performance.now() < endMs) {
      await new Promise((resolve) => setTimeout(resolve, ROOM_POLL_MS));
    }
    return this.#ring.size === 0;
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    if (this.#retry !== null) clearTimeout(this.#retry);
    if (this.#deaf !== null) clearTimeout(this.#deaf);
    const client = this.#client;
    this.#client = null;
    if (client !== null) await client.endAsync(!this.#isUp);
  }

  #connect(): void {
    const { url, user, password } = this.#access;
    const client = connect(url, {
      reconnectPeriod: 0,
      connectTimeout: CONNECT_TIMEOUT_MS,
      keepalive: 15,
      ...(user === null ? {} : { username: user }),
      ...(password === null ? {} : { password }),
    });
    this.#client = client;
    client.on('connect', () => {
      if (this.#client !== client) return;
      this.#isUp = true;
      this.#retryMs = RETRY_FIRST_MS;
      this.#tell(`connected to ${url}`);
      this.#pump();
    });
    client.on('error', (error) => {
      this.#lost(client, error.message);
    });
    client.on('close', () => {
      this.#lost(client, 'connection closed');
    });
  }

  #lost(client: MqttClient, why: string): void {
    if (this.#client !== client || this.#isClosed) return;
    this.#client = null;
    this.#isUp = false;
    client.end(true);
    if (this.#deaf !== null) clearTimeout(this.#deaf);
    this.#deaf = null;
    this.#ring.takeBack();
    this.#tell(`no broker at ${this.#access.url} (${why}), ${this.#ring.size} readings kept, trying again`);
    this.#retry = setTimeout(() => {
      this.#connect();
    }, this.#retryMs);
    this.#retryMs = Math.min(RETRY_LAST_MS, this.#retryMs * 2);
  }

  #listen(client: MqttClient): void {
    if (this.#deaf !== null) clearTimeout(this.#deaf);
    this.#deaf =
      this.#ring.handedOut === 0
        ? null
        : setTimeout(() => {
            this.#lost(client, 'no acknowledgement');
          }, DEAF_AFTER_MS);
  }

  #pump(): void {
    const client = this.#client;
    if (client === null || !this.#isUp) return;
    while (this.#ring.handedOut < WINDOW) {
      const next = this.#ring.take();
      if (next === null) break;
      const { topic, payload } = messageOf(next.item);
      client.publish(topic, payload, { qos: 1 }, (error) => {
        this.#answered(client, next.key, error ?? null);
      });
      if (this.#deaf === null) this.#listen(client);
    }
  }

  #answered(client: MqttClient, key: number, error: Error | null): void {
    if (this.#client !== client) return;
    if (error !== null) {
      this.#lost(client, error.message);
      return;
    }
    this.#ring.acknowledge(key);
    this.#acknowledged += 1;
    this.#listen(client);
    this.#pump();
  }
}
