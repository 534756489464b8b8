import type { Around, BodySpec } from '../../../simulator/physics/body.ts';
import { createBody, stepBody, temperatureAt } from '../../../simulator/physics/body.ts';
import type { Skin, Surroundings } from '../../../simulator/physics/face.ts';

export const DRY: Skin = { wetness: 0, waterKgM2: 0, supplyKgM2S: 0, supplyKgM2: 0 };

export function air(convectionWm2K: number, airC: number): Surroundings {
  return { airC, convectionWm2K, radiant: [], vapourPa: 0 };
}

export function bothSides(side: Surroundings): Around {
  return { below: side, above: side };
}

type Piece = Pick<BodySpec, 'shape' | 'thicknessM'> & { conductivityWmK: number; diffusivityM2S: number };

/** A dry body of the given conductivity and diffusivity; density 1000 kg/m3, only the product with heat matters. */
export function drySpec({ shape, thicknessM, conductivityWmK, diffusivityM2S }: Piece, cells = 60): BodySpec {
  const densityKgM3 = 1000;
  const heatJKgK = conductivityWmK / diffusivityM2S / densityKgM3;
  return { shape, thicknessM, material: { conductivityWmK, densityKgM3, heatJKgK }, skin: DRY, cells };
}

type Way = { startC: number; targetC: number; around: Around; stepS?: number };

/** Seconds until the centre reaches the target, interpolated within the last step. */
export function secondsTo(spec: BodySpec, { startC, targetC, around, stepS = 0.5 }: Way): number {
  const body = createBody(spec, startC);
  const rising = targetC > startC;
  let before = startC;
  for (let atS = stepS; atS < 1e5; atS += stepS) {
    stepBody(spec, body, around, stepS);
    const now = temperatureAt(spec, body, 0);
    if (rising ? now >= targetC : now <= targetC) return atS - (stepS * (now - targetC)) / (now - before);
    before = now;
  }
  return Infinity;
}
