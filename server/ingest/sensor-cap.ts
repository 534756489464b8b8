import type { Intake } from '../ports.ts';
import type { Packet } from './intake.ts';
import { rejectOf } from './message.ts';

/** One device has a handful of probes; a board that makes up names must not fill every list. OURS. */
const NEW_PER_CLIENT = 64;
/** All sensors ever stored. OURS: far beyond any grill, and still a list that a person can look through. */
const IN_ALL = 500;

type Arrival = { client: string | null; receivedMs: number };

/** Keeps a device that invents names from flooding the store with sensors. What was heard before goes on. */
export class SensorCap {
  private readonly known: Set<string>;
  private readonly newOf = new Map<string, number>();

  /** @param known  ids of the sensors that are stored already */
  constructor(known: Iterable<string>) {
    this.known = new Set(known);
  }

  /**
   * Takes everything of sensors beyond the caps out of a message and says so in one reject.
   *
   * @param client  the device, or null behind an external broker, where only the cap for all can be kept
   */
  apply(intake: Intake, packet: Packet, { client, receivedMs }: Arrival): Intake {
    if (this.allKnown(intake.readings) && this.allKnown(intake.sides) && this.allKnown(intake.unplugged))
      return intake;
    const tooMany = new Set<string>();
    for (const { sensorId: id } of [...intake.readings, ...intake.sides, ...intake.unplugged])
      if (!this.mayPass(id, client)) tooMany.add(id);
    const [first] = tooMany;
    if (first === undefined) return intake;
    const stays = ({ sensorId }: { sensorId: string }): boolean => !tooMany.has(sensorId);
    const readings = intake.readings.filter(stays);
    const more = tooMany.size > 1 ? ` and ${tooMany.size - 1} more` : '';
    const cap = this.known.size >= IN_ALL ? `${IN_ALL} in all` : `${NEW_PER_CLIENT} new ones from one device`;
    const detail = `${first}${more}: at most ${cap}`;
    return {
      readings,
      sides: intake.sides.filter(stays),
      unplugged: intake.unplugged.filter(stays),
      rejects: [
        ...intake.rejects,
        rejectOf({ reason: 'too-many-sensors', detail }, { ...packet, receivedMs }),
      ],
      delivery: intake.delivery,
    };
  }

  private allKnown(items: readonly { sensorId: string }[]): boolean {
    for (const { sensorId } of items) if (!this.known.has(sensorId)) return false;
    return true;
  }

  private mayPass(id: string, client: string | null): boolean {
    if (this.known.has(id)) return true;
    if (this.known.size >= IN_ALL) return false;
    if (client !== null) {
      const before = this.newOf.get(client) ?? 0;
      if (before >= NEW_PER_CLIENT) return false;
      this.newOf.set(client, before + 1);
    }
    this.known.add(id);
    return true;
  }
}
