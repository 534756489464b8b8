import type { Intake, IntakeResult, Outage } from '../ports.ts';

/** What a message brought: readings, only something that could not be understood, or neither (an empty channel, a battery). */
export type MessageOutcome = 'readings' | 'rejected' | 'other';

/** What came in since the start, by outcome. */
export class Counters {
  accepted = 0;
  duplicates = 0;
  readonly messages: Record<MessageOutcome, number> = { readings: 0, rejected: 0, other: 0 };
  readonly rejected = new Map<string, number>();
  readonly outages = new Map<Outage['kind'], number>();

  note(intakes: readonly Intake[], { stored, duplicates }: IntakeResult): void {
    this.accepted += stored.length;
    this.duplicates += duplicates;
    for (const intake of intakes) {
      this.messages[outcomeOf(intake)] += 1;
      for (const { reason } of intake.rejects) {
        this.rejected.set(reason, (this.rejected.get(reason) ?? 0) + 1);
      }
    }
  }

  outage({ kind }: Outage): void {
    this.outages.set(kind, (this.outages.get(kind) ?? 0) + 1);
  }
}

function outcomeOf({ readings, rejects }: Intake): MessageOutcome {
  if (readings.length > 0) return 'readings';
  return rejects.length > 0 ? 'rejected' : 'other';
}
