const MS_PER_S = 1_000;

/** How much of something may pass: `perS` sustained, `burst` at once. What is beyond is owed, and paid by waiting. */
export class Pace {
  private readonly perS: number;
  private readonly burst: number;
  private left: number;
  private atMono: number;

  constructor({ perS, burst, nowMono }: { perS: number; burst: number; nowMono: number }) {
    this.perS = perS;
    this.burst = burst;
    this.left = burst;
    this.atMono = nowMono;
  }

  /** @returns ms to wait before more may come; 0 when it may come at once */
  spend(count: number, nowMono: number): number {
    const gained = ((nowMono - this.atMono) / MS_PER_S) * this.perS;
    this.left = Math.min(this.burst, this.left + gained) - count;
    this.atMono = nowMono;
    return this.left >= 0 ? 0 : (-this.left / this.perS) * MS_PER_S;
  }
}
