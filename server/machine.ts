import { readdirSync, statSync } from 'node:fs';
import { statfs } from 'node:fs/promises';
import { join } from 'node:path';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import type { MachineVitals } from './runtime/health.ts';

const LOOK_EVERY_MS = 5_000;
const LOOP_RESOLUTION_MS = 20;
const NS_PER_MS = 1e6;

/** What the machine under the server says of itself: room on the disk, size of the data, and how long the loop was held up. */
export class Machine {
  private readonly dataDir: string;
  private readonly loop = monitorEventLoopDelay({ resolution: LOOP_RESOLUTION_MS });
  private freeBytes: number | null = null;
  private timer: NodeJS.Timeout | null = null;

  constructor(dataDir: string) {
    this.dataDir = dataDir;
  }

  start(): void {
    this.loop.enable();
    void this.look();
    this.timer = setInterval(() => void this.look(), LOOK_EVERY_MS).unref();
  }
  stop(): void {
    this.loop.disable();
    if (this.timer) clearInterval(this.timer);
  }

  vitals(): MachineVitals {
    // the histogram measures the whole interval between two looks at the clock
    const delayMs = (ns: number): number => Math.max(0, ns / NS_PER_MS - LOOP_RESOLUTION_MS);
    return {
      freeBytes: this.freeBytes,
      dataBytes: this.dataBytes(),
      loopDelayMs: {
        mean: Number.isFinite(this.loop.mean) ? delayMs(this.loop.mean) : 0,
        p99: delayMs(this.loop.percentile(99)),
        max: delayMs(this.loop.max),
      },
    };
  }

  private async look(): Promise<void> {
    try {
      const { bavail, bsize } = await statfs(this.dataDir);
      this.freeBytes = bavail * bsize;
    } catch {
      this.freeBytes = null; // unknown is not fine: health says so
    }
  }

  private dataBytes(): number | null {
    try {
      return readdirSync(this.dataDir)
        .map((name) => statSync(join(this.dataDir, name)))
        .reduce((sum, stat) => sum + (stat.isFile() ? stat.size : 0), 0);
    } catch {
      return null; // a file went in between, or the folder: asked again next time
    }
  }
}
