import { REASON, type IncomingReading } from '../contract/reading.ts';
import type { Intake } from '../ports.ts';

/** More channels than any set-up has: what the air says may not fill the memory. OURS. */
const CHANNELS_AT_MOST = 1_000;
const OLD_NEWS = REASON.late | REASON.retained;

/** Since when channels have said that nothing is plugged in. Kept in memory only: a channel that is alive says it again. */
export class UnpluggedChannels {
  private readonly since = new Map<string, number>();

  /** Takes what arrived and what of it was stored as readings; a usable reading that is no old news ends it. */
  note(intakes: readonly Pick<Intake, 'unplugged'>[], stored: readonly IncomingReading[]): void {
    for (const { sensorId, receivedMs } of intakes.flatMap((intake) => intake.unplugged)) {
      if (!this.since.has(sensorId) && this.since.size < CHANNELS_AT_MOST)
        this.since.set(sensorId, receivedMs);
    }
    for (const { sensorId, receivedMs, quality, reasons } of stored) {
      const sinceMs = this.since.get(sensorId);
      if (sinceMs === undefined || quality >= 4 || (reasons & OLD_NEWS) !== 0) continue;
      if (receivedMs >= sinceMs) this.since.delete(sensorId);
    }
  }

  /** Epoch ms; null while something is plugged in, as far as is known. */
  sinceMs(sensorId: string): number | null {
    return this.since.get(sensorId) ?? null;
  }
}
