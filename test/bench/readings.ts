/** The sensors of the bench: an invented evening. */
export const SENSORS = 50;
export const CORES = 6;
export const COOLERS = 2;
export const POTS = 1;
export const ZONES = 3;
/** Sensors that sit somewhere when an evening is watched: cores first, then coolers, pot and zones. */
export const SEATED = CORES + COOLERS + POTS + ZONES;

export function sensorName(index: number): string {
  return `bench-${String(index + 1).padStart(2, '0')}`;
}

/** A calm value in hundredths, degC, for a moment in seconds: a slow rise, a cold bag, a warm pot, a fire. */
export function valueAt(index: number, seconds: number): string {
  const wave = Math.sin(seconds / 20 + index);
  const rising = 12 + (seconds % 3_000) * 0.015 + 0.05 * wave;
  const tempC =
    index < CORES
      ? rising
      : index < CORES + COOLERS
        ? 3.5 + 0.3 * wave
        : index < CORES + COOLERS + POTS
          ? 76 + 0.5 * wave
          : index < SEATED
            ? 210 + 4 * wave
            : 20 + 0.4 * wave;
  return tempC.toFixed(2);
}
