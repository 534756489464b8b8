/** Taps this soon after the strip changed were meant for what stood there before. */
export const TAP_GUARD_MS = 400;

export type StripFace = { key: string; changedMonoMs: number };

/** When the face of strip 1 last changed. The first face is not a change: nothing stood there before. */
export function nextFace(face: StripFace | null, key: string, monoMs: number): StripFace {
  if (face === null) return { key, changedMonoMs: Number.NEGATIVE_INFINITY };
  return face.key === key ? face : { key, changedMonoMs: monoMs };
}

export function isTapMeant(face: StripFace | null, monoMs: number): boolean {
  return face !== null && monoMs - face.changedMonoMs >= TAP_GUARD_MS;
}
