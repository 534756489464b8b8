import type { Intake, IntakeResult } from '../ports.ts';

/** What came in since the start, by outcome. */
export class Counters {
  accepted = 0;
  duplicates = 0;
  readonly rejected = new Map<string, number>();

  note(intakes: readonly Intake[], { stored, duplicates }: IntakeResult): void {
    this.accepted += stored.length;
    this.duplicates += duplicates;
    for (const { reason } of intakes.flatMap((i) => i.rejects)) {
      this.rejected.set(reason, (this.rejected.get(reason) ?? 0) + 1);
    }
  }
}
