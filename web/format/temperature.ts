const DASH = '–';

/** One decimal and a degree sign, "9.1°"; a dash for what is not known. */
export function degText(tempC: number | null): string {
  if (tempC === null || !Number.isFinite(tempC)) return DASH;
  return `${withoutMinusZero(tempC, 1)}°`;
}

/** A difference with its sign, "+0.6°", "-1.2°", "0.0°". */
export function signedText(differenceC: number): string {
  const text = degText(differenceC);
  return differenceC > 0 && text !== '0.0°' && text !== DASH ? `+${text}` : text;
}

/** A limit or target, which is whole in most rule sets: "63°", "7.5°". */
export function limitText(tempC: number): string {
  return Number.isInteger(tempC) ? `${tempC}°` : degText(tempC);
}

/** Whole degrees, rounded down: a core that is short of its target must never read as if it had reached it. */
export function wholeDown(tempC: number | null): string {
  if (tempC === null || !Number.isFinite(tempC)) return DASH;
  return withoutMinusZero(Math.floor(tempC), 0);
}

function withoutMinusZero(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? (0).toFixed(decimals) : text;
}
