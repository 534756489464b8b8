import type { Shape } from '../../server/contract/food.ts';
import { solveTridiagonal } from './tridiagonal.ts';
import type { Face, Skin, Surroundings } from './face.ts';
import { faceFlux, settleFace } from './face.ts';

export type Material = { conductivityWmK: number; densityKgM3: number; heatJKgK: number };
export type BodySpec = {
  shape: Shape;
  /** Whole thickness of a slab, diameter of a cylinder or a sphere, m. */
  thicknessM: number;
  material: Material;
  skin: Skin;
  cells: number;
};
export type Body = {
  /** A slab from face 0 to face 1; a cylinder or sphere from its axis outwards. */
  cellsC: number[];
  faces: Face[];
  /** Which face of a slab lies on the fire. */
  down: 0 | 1;
};
/** `below` is the fire's side. */
export type Around = { below: Surroundings; above: Surroundings };

/** Gel foods on a plate of 160 to 260 degC stay at or below it where wet (Cernela et al. 2015, J. Food Eng. 146:99; read). */
const BOILING_C = 100;

type Grid = { widthM: number; areas: number[]; volumes: number[] };

/** Areas of the cells' borders and their volumes, per unit of the slab's face, the cylinder's length or the sphere's solid angle. */
function gridOf(spec: BodySpec): Grid {
  const power = spec.shape === 'slab' ? 0 : spec.shape === 'cylinder' ? 1 : 2;
  const widthM = spec.thicknessM / (power === 0 ? spec.cells : 2 * spec.cells);
  const areas = Array.from({ length: spec.cells + 1 }, (_, index) => (index * widthM) ** power);
  const volumes = Array.from({ length: spec.cells }, (_, index) => {
    const inner = index * widthM;
    return ((inner + widthM) ** (power + 1) - inner ** (power + 1)) / (power + 1);
  });
  return { widthM, areas, volumes };
}

export function createBody(spec: BodySpec, startC: number): Body {
  if (!(spec.thicknessM > 0))
    throw new RangeError(`thicknessM: expected above 0, got ${String(spec.thicknessM)}`);
  if (!Number.isInteger(spec.cells) || spec.cells < 4) {
    throw new RangeError(`cells: expected a whole number from 4, got ${String(spec.cells)}`);
  }
  const face = (): Face => ({ tempC: startC, waterKgM2: spec.skin.waterKgM2, lostKgM2: 0 });
  return {
    cellsC: Array.from({ length: spec.cells }, () => startC),
    faces: spec.shape === 'slab' ? [face(), face()] : [face()],
    down: 0,
  };
}

/** The other face goes to the fire; a cylinder or sphere is heated all round by the mean of both sides. */
export function turnBody(body: Body): void {
  body.down = body.down === 0 ? 1 : 0;
}

function surroundingsOf(spec: BodySpec, body: Body, around: Around, face: number): Surroundings[] {
  if (spec.shape !== 'slab') return [around.below, around.above];
  return [face === body.down ? around.below : around.above];
}

/**
 * One step of finite-volume conduction, Crank-Nicolson in time, the faces linearised about their settled temperature.
 * @param stepS length of the step, s; 0.1 to 2 s for food
 * @returns net heat received, J per unit of the grid (m2 of slab face, m of cylinder per radian, sr of sphere)
 */
export function stepBody(spec: BodySpec, body: Body, around: Around, stepS: number): number {
  const { conductivityWmK: k, densityKgM3, heatJKgK } = spec.material;
  const { widthM, areas, volumes } = gridOf(spec);
  const last = spec.cells - 1;
  const lower = new Array<number>(spec.cells).fill(0);
  const upper = new Array<number>(spec.cells).fill(0);
  const middle = new Array<number>(spec.cells).fill(0);
  const right = new Array<number>(spec.cells).fill(0);
  const old = body.cellsC;
  const at = (values: readonly number[], index: number): number => values[index] ?? 0;

  for (let index = 0; index <= last; index += 1) {
    const store = (densityKgM3 * heatJKgK * at(volumes, index)) / stepS;
    const inward = index > 0 ? (k * at(areas, index)) / widthM : 0;
    const outward = index < last ? (k * at(areas, index + 1)) / widthM : 0;
    lower[index] = -inward / 2;
    upper[index] = -outward / 2;
    middle[index] = store + (inward + outward) / 2;
    const flow =
      inward * (at(old, index - 1) - at(old, index)) + outward * (at(old, index + 1) - at(old, index));
    right[index] = store * at(old, index) + flow / 2;
  }

  const ends = body.faces.map((face, number) => {
    const cell = spec.shape === 'slab' && number === 0 ? 0 : last;
    const area = number === 0 && spec.shape === 'slab' ? at(areas, 0) : at(areas, spec.cells);
    const inside = { conductanceWm2K: (2 * k) / widthM, tempC: at(old, cell) };
    const line = settleFace(face, spec.skin, surroundingsOf(spec, body, around, number), inside);
    middle[cell] = at(middle, cell) + (area * line.slope) / 2;
    right[cell] = at(right, cell) + area * (line.atZero - (line.slope * at(old, cell)) / 2);
    return { face, number, cell, area, line };
  });

  body.cellsC = solveTridiagonal({ lower, middle, upper, right });
  let receivedJ = 0;
  for (const { face, number, cell, area, line } of ends) {
    const meanC = (at(old, cell) + at(body.cellsC, cell)) / 2;
    receivedJ += area * (line.atZero - line.slope * meanC) * stepS;
    dryFace(face, spec.skin, surroundingsOf(spec, body, around, number), stepS);
  }
  return receivedJ - boilOff(spec, body, volumes);
}

/** Wet food does not get hotter than boiling water: what is above goes off as steam. Returns its heat, J. */
function boilOff(spec: BodySpec, body: Body, volumes: readonly number[]): number {
  if (spec.skin.wetness <= 0) return 0;
  const { densityKgM3, heatJKgK } = spec.material;
  let steamJ = 0;
  body.cellsC = body.cellsC.map((tempC, index) => {
    if (tempC <= BOILING_C) return tempC;
    steamJ += densityKgM3 * heatJKgK * (volumes[index] ?? 0) * (tempC - BOILING_C);
    return BOILING_C;
  });
  return steamJ;
}

/** Takes from the face's water what has evaporated and gives it what follows from inside. */
function dryFace(face: Face, skin: Skin, around: readonly Surroundings[], stepS: number): void {
  const { waterKgM2S } = faceFlux(face.tempC, face, skin, around);
  const supply = skin.supplyKgM2 > 0 ? skin.supplyKgM2S * Math.exp(-face.lostKgM2 / skin.supplyKgM2) : 0;
  face.lostKgM2 += waterKgM2S * stepS;
  face.waterKgM2 = Math.min(skin.waterKgM2, Math.max(0, face.waterKgM2 + (supply - waterKgM2S) * stepS));
}

/**
 * Temperature inside, degC.
 * @param offCentreM distance from the centre plane, axis or centre, m; in a slab positive towards face 1
 */
export function temperatureAt(spec: BodySpec, body: Body, offCentreM: number): number {
  const { widthM } = gridOf(spec);
  const isSlab = spec.shape === 'slab';
  const along = (isSlab ? spec.thicknessM / 2 + offCentreM : Math.abs(offCentreM)) / widthM - 0.5;
  const highest = spec.cells - 2;
  const nearest = Math.min(Math.max(Math.round(along), isSlab ? 1 : 0), highest);
  const value = (index: number): number => body.cellsC[index < 0 ? -1 - index : index] ?? Number.NaN;
  const [before, here, after] = [value(nearest - 1), value(nearest), value(nearest + 1)];
  const offset = along - nearest;
  return here + (offset * (after - before)) / 2 + (offset ** 2 * (after - 2 * here + before)) / 2;
}

/** Mean over the volume, degC. */
export function meanC(spec: BodySpec, body: Body): number {
  const { volumes } = gridOf(spec);
  const total = volumes.reduce((sum, volume) => sum + volume, 0);
  return body.cellsC.reduce((sum, tempC, index) => sum + tempC * (volumes[index] ?? 0), 0) / total;
}
