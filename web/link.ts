/** How long the server may be silent, or the socket down, before the screen stops believing its own numbers. */
export const LINK_PATIENCE_MS = 20_000;

export type LinkMemory = {
  heardMonoMs: number;
  heardWallMs: number;
  /** Monotonic instant at which the socket went down; null while it is up. */
  downMonoMs: number | null;
};

/**
 * Whether the link counts as lost. The monotonic clock of a tablet may stand still while it sleeps, so the wall clock
 * is asked as well: the longer silence counts, and a number that cannot be compared counts as lost.
 */
export function isLinkLost(link: LinkMemory, monoMs: number, wallMs: number): boolean {
  const silentMs = Math.max(monoMs - link.heardMonoMs, wallMs - link.heardWallMs);
  const downMs = link.downMonoMs === null ? 0 : monoMs - link.downMonoMs;
  return !(silentMs < LINK_PATIENCE_MS && downMs < LINK_PATIENCE_MS);
}
