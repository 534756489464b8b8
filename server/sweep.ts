import type { Runtime } from './runtime/runtime.ts';

const TICK_MS = 1_000;
const PUSH_MS = 250;

/** The beat of the tick, and how long ago the watch last went through. */
export class Sweep {
  private readonly runtime: Runtime;
  private readonly alsoDo: () => void;
  private timers: NodeJS.Timeout[] = [];
  private sweptMono: number | null = null;

  /** @param alsoDo  what else is due every second */
  constructor(runtime: Runtime, alsoDo: () => void) {
    this.runtime = runtime;
    this.alsoDo = alsoDo;
  }
  get ageMs(): number | null {
    return this.sweptMono === null ? null : performance.now() - this.sweptMono;
  }
  start(): void {
    this.beat();
    this.timers = [
      setInterval(() => this.beat(), TICK_MS),
      setInterval(() => this.runtime.pushReadings(), PUSH_MS),
    ];
  }
  stop(): void {
    this.timers.forEach(clearInterval);
  }
  private beat(): void {
    this.runtime.tick();
    this.alsoDo();
    if (this.runtime.board().watchOk) this.sweptMono = performance.now();
  }
}
