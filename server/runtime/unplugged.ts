import { REASON, type IncomingReading } from '../contract/reading.ts';
import type { Intake } from '../ports.ts';

/** More channels than any set-up has: what the air says may not fill the memory. OURS. */
const CHANNELS_AT_MOST = 1_000;
const OLD_NEWS = REASON.late | REASON.retained;

/** Since when channels have said that nothing is plugged in. Kept in memory only: a channel that is alive says it again. */
export class UnpluggedChannels {
  private readonly told = new Map<string, { sinceMs: number; lastMs: number }>();

  /** Takes what arrived and what of it was stored as readings; a usable reading that came later and is no old news ends it. */
  note(intakes: readonly Pick<Intake, 'unplugged'>[], stored: readonly IncomingReading[]): void {
    for (const { unplugged } of intakes) {
      for (const { sensorId, receivedMs } of unplugged) {
        const before = this.told.get(sensorId);
        if (!before && this.told.size >= CHANNELS_AT_MOST) continue;
        this.told.set(sensorId, { sinceMs: before?.sinceMs ?? receivedMs, lastMs: receivedMs });
      }
    }
    if (this.told.size === 0) return;
    for (const { sensorId, receivedMs, quality, reasons } of stored) {
      const before = this.told.get(sensorId);
      if (before === undefined || quality >= 4 || (reasons & OLD_NEWS) !== 0) continue;
      if (receivedMs > before.lastMs) this.told.delete(sensorId);
    }
  }

  /** Epoch ms; null while something is plugged in, as far as is known. */
  sinceMs(sensorId: string): number | null {
    return this.told.get(sensorId)?.sinceMs ?? null;
  }
}
