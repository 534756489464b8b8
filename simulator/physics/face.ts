import { KELVIN, STEFAN_BOLTZMANN, VAPORISATION_J_KG } from './constants.ts';
import { wetFlux } from './moisture.ts';

/** What a face does with its water. `wetness` 0 keeps it dry. */
export type Skin = {
  /** Share of the face that behaves like free water at the start. */
  wetness: number;
  /** Water at the face at the start, kg/m2. */
  waterKgM2: number;
  /** Water that follows from inside at first, kg/(m2 s). */
  supplyKgM2S: number;
  /** Water lost through the face after which the supply has fallen to 1/e, kg/m2. */
  supplyKgM2: number;
};

/** What one side of a piece of food meets. */
export type Surroundings = {
  airC: number;
  convectionWm2K: number;
  /** Each source with emissivity times view factor. */
  radiant: readonly { tempC: number; factor: number }[];
  vapourPa: number;
};
export type Face = { tempC: number; waterKgM2: number; lostKgM2: number };
type Inside = { conductanceWm2K: number; tempC: number };

const NEWTON_STEPS = 40;
const SETTLED_K = 1e-6;
/** No face gets colder or hotter than these, degC. */
const COLDEST_C = -60;
const HOTTEST_C = 1300;
/** Distance for the numerical derivative of the flux, K. */
const NUDGE_K = 0.01;

/** Net heat into the food, W/m2, and water leaving it, kg/(m2 s), at a face of `faceC`. Several sides count as their mean. */
export function faceFlux(
  faceC: number,
  face: Face,
  skin: Skin,
  around: readonly Surroundings[],
): { heatWm2: number; waterKgM2S: number } {
  const wetness = skin.waterKgM2 > 0 ? (skin.wetness * face.waterKgM2) / skin.waterKgM2 : 0;
  let heat = 0;
  let water = 0;
  for (const side of around) {
    heat += side.convectionWm2K * (side.airC - faceC);
    for (const source of side.radiant) {
      heat += source.factor * STEFAN_BOLTZMANN * ((source.tempC + KELVIN) ** 4 - (faceC + KELVIN) ** 4);
    }
    if (wetness > 0) water += wetness * Math.max(0, wetFlux(faceC, side.vapourPa, side.convectionWm2K));
  }
  const waterKgM2S = water / around.length;
  return { heatWm2: heat / around.length - VAPORISATION_J_KG * waterKgM2S, waterKgM2S };
}

/**
 * Finds the face temperature at which what comes from outside goes inside, and leaves it in `face.tempC`.
 * @returns heat into the outermost cell as a straight line of its temperature: q = atZero - slope * tempC, W/m2
 */
export function settleFace(
  face: Face,
  skin: Skin,
  around: readonly Surroundings[],
  inside: Inside,
): { atZero: number; slope: number } {
  let tempC = face.tempC;
  let fall = 0;
  let [low, high] = [COLDEST_C, HOTTEST_C];
  for (let step = 0; step < NEWTON_STEPS; step += 1) {
    const heat = faceFlux(tempC, face, skin, around).heatWm2;
    fall = (heat - faceFlux(tempC + NUDGE_K, face, skin, around).heatWm2) / NUDGE_K;
    const excess = heat - inside.conductanceWm2K * (tempC - inside.tempC);
    // The excess only falls with the temperature, so its sign says on which side the answer lies.
    if (excess > 0) low = tempC;
    else high = tempC;
    const newton = tempC + excess / (fall + inside.conductanceWm2K);
    const next = newton >= low && newton <= high ? newton : (low + high) / 2;
    const change = next - tempC;
    tempC = next;
    if (Math.abs(change) < SETTLED_K) break;
  }
  face.tempC = tempC;
  const heat = faceFlux(tempC, face, skin, around).heatWm2;
  const share = inside.conductanceWm2K / (inside.conductanceWm2K + fall);
  return { atZero: share * (heat + fall * tempC), slope: share * fall };
}
