import { connect, type MqttClient } from 'mqtt';
import { onTestFinished } from 'vitest';

const SENSOR = 'numbered';
const AGAIN_MS = 20;

/** A probe whose readings are numbered by their time, each sent until it is acknowledged. */
export class NumberedProbe {
  readonly acknowledged = new Set<number>();
  private readonly client: MqttClient;
  private readonly startMs = Date.now() - 3_600_000;
  private sent = 0;
  private running = true;

  constructor(url: string, everyMs: number) {
    this.client = connect(url, { reconnectPeriod: 50, clientId: SENSOR, clean: true });
    this.client.on('error', () => undefined); // the server cannot take it: that is the test
    const timer = setInterval(() => {
      if (this.running) this.send(this.sent++);
    }, everyMs);
    onTestFinished(() => {
      clearInterval(timer);
      this.client.end(true);
    });
  }

  pause(): void {
    this.running = false;
  }
  get total(): number {
    return this.sent;
  }
  /** The times of what was acknowledged so far, epoch ms. */
  acknowledgedTimes(): number[] {
    return [...this.acknowledged].map((n) => this.startMs + n);
  }
  sentTimes(): number[] {
    return Array.from({ length: this.sent }, (_, n) => this.startMs + n);
  }

  private send(n: number): void {
    const payload = JSON.stringify({ value: (n % 900) / 10, time: this.startMs + n });
    this.client.publish(`tongside/reading/${SENSOR}`, payload, { qos: 1 }, (error) => {
      if (error) setTimeout(() => this.send(n), AGAIN_MS);
      else this.acknowledged.add(n);
    });
  }
}
