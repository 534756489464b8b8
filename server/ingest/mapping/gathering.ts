import {
  REASON,
  type IncomingReading,
  type Quality,
  type RejectReason,
  type SideQuantity,
} from '../../contract/reading.ts';
import { rejectOf, sideOf, type Decoded, type Failure, type Message } from '../message.ts';
import type { Moment } from './moment.ts';

/** What holds for everything in one message. */
type Shared = {
  /** Null: its moment is that of arrival. */
  moment: Moment | null;
  /** The time field is there but cannot be read. */
  isClockBad: boolean;
  deviceQuality: Quality;
};
export type Flag = { quality: Quality; reasons: number };

/** OURS: a number that is further out than this stands for nothing that could be kept as a temperature, degC. */
const LARGEST_KEPT = 1e6;
const SEVERITY: Readonly<Record<Quality, number>> = { 1: 0, 2: 1, 3: 2, 4: 3, 9: 4 };
const NOTED_EACH = 3;

function worse(a: Flag, b: Flag): Flag {
  const quality = SEVERITY[a.quality] >= SEVERITY[b.quality] ? a.quality : b.quality;
  return { quality, reasons: a.reasons | b.reasons };
}

/** Collects what one message gives. A sensor is heard once a message, and failures of one kind are told once. */
export class Gathering {
  private readonly message: Message;
  private readonly shared: Shared;
  private readonly flag: Flag;
  /** Kept by the broker from a moment that nobody knows: an age or an uptime does not help, they count from then. */
  private readonly isOld: boolean;
  private readonly out: Decoded = { readings: [], sides: [], unplugged: [], rejects: [] };
  /** Also what is left out because it is old or missing. */
  private hasFound = false;
  private readonly heard = new Set<string>();
  private readonly failures = new Map<RejectReason, string[]>();

  constructor(message: Message, shared: Shared) {
    this.message = message;
    this.shared = shared;
    this.isOld = message.retained && shared.moment?.timeSource !== 'device';
    const flags: Flag[] = [];
    if (this.isOld) flags.push({ quality: 3, reasons: REASON.retained });
    if (shared.isClockBad) flags.push({ quality: 3, reasons: REASON.clock });
    if (shared.deviceQuality !== 1) flags.push({ quality: shared.deviceQuality, reasons: REASON.device });
    this.flag = flags.reduce(worse, { quality: 1, reasons: 0 });
  }

  /** `tempC` in degC, or the number as it came where the flag says that it is no temperature. */
  temperature(sensorId: string, tempC: number, flag: Flag): void {
    this.hasFound = true;
    if (!(Math.abs(tempC) <= LARGEST_KEPT)) {
      this.fail({ reason: 'out-of-range', detail: `${sensorId}: ${tempC}` });
      return;
    }
    if (!this.isFirst(sensorId)) return;
    const { receivedMs } = this.message;
    const moment = this.isOld ? null : this.shared.moment;
    const reading: IncomingReading = {
      sensorId,
      // adding zero turns a negative zero into a plain one
      tempC: Math.round(tempC * 100) / 100 + 0,
      atMs: moment?.atMs ?? receivedMs,
      receivedMs,
      ...worse(this.flag, flag),
      timeSource: moment?.timeSource ?? 'arrival',
      nextWithinS: null,
    };
    this.out.readings.push(reading);
  }

  /** What the broker had kept, without a date, may be from any day: it must not pass for the state of now. */
  side(sensorId: string, about: { quantity: SideQuantity; value: number; unit: string }): void {
    this.hasFound = true;
    if (this.isOld || this.shared.deviceQuality > 3) return;
    const { moment } = this.shared;
    const atMs = moment && moment.timeSource !== 'uptime' ? moment.atMs : null;
    const side = sideOf({ sensorId, ...about, atMs }, this.message);
    if ('reason' in side) this.fail(side);
    else this.out.sides.push(side);
  }

  unplugged(sensorId: string): void {
    this.hasFound = true;
    if (this.isOld || !this.isFirst(sensorId)) return;
    this.out.unplugged.push({ sensorId, receivedMs: this.message.receivedMs });
  }

  fail({ reason, detail }: Failure): void {
    this.hasFound = true;
    const others = this.failures.get(reason);
    if (others) others.push(detail);
    else this.failures.set(reason, [detail]);
  }

  result(): Decoded {
    const { out, failures } = this;
    if (!this.hasFound) this.fail({ reason: 'no-value', detail: 'nothing that the rule names' });
    for (const [reason, details] of failures) {
      const more = details.length > NOTED_EACH ? ` and ${details.length - NOTED_EACH} more` : '';
      const detail = `${details.slice(0, NOTED_EACH).join(', ')}${more}`;
      out.rejects.push(rejectOf({ reason, detail }, this.message));
    }
    return out;
  }

  private isFirst(sensorId: string): boolean {
    if (this.heard.has(sensorId)) {
      this.fail({ reason: 'bad-name', detail: `${sensorId} twice in one message` });
      return false;
    }
    this.heard.add(sensorId);
    return true;
  }
}
