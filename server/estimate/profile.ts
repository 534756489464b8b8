import type { Shape } from '../contract/food.ts';
import { steamCooling } from './steam.ts';

/**
 * The inside of a piece as temperatures at a row of places: of a slab from face to face, of a cylinder or sphere from
 * the middle outwards. Lengths count in half thicknesses or radii, times in Fourier numbers (kappa t).
 */
export type Grid = {
  isSlab: boolean;
  width: number;
  /** Between node i - 1 and i: area over distance; 0 at both ends. */
  links: Float64Array;
  volumes: Float64Array;
};

/** What a face meets: h L / k, the ambient it feels, degC, and how much of it steam can take at most, K. */
export type Side = { biot: number; ambientC: number; steamMaxK: number };

/** Enough for 0.5 % of the exact series' time (test/estimate/march.test.ts), few enough for a draw in 50 us. */
const SLAB_PARTS = 10;
const ROUND_PARTS = 8;

function gridFor(shape: Shape): Grid {
  const isSlab = shape === 'slab';
  const power = { slab: 0, cylinder: 1, sphere: 2 }[shape];
  const parts = isSlab ? SLAB_PARTS : ROUND_PARTS;
  const width = (isSlab ? 2 : 1) / parts;
  const edge = (i: number): number => Math.min(Math.max((i - 0.5) * width, 0), parts * width);
  const volume = (i: number): number => (edge(i + 1) ** (power + 1) - edge(i) ** (power + 1)) / (power + 1);
  return {
    isSlab,
    width,
    links: Float64Array.from({ length: parts + 2 }, (_, i) =>
      i === 0 || i > parts ? 0 : edge(i) ** power / width,
    ),
    volumes: Float64Array.from({ length: parts + 1 }, (_, i) => volume(i)),
  };
}

const GRIDS: Record<Shape, Grid> = {
  slab: gridFor('slab'),
  cylinder: gridFor('cylinder'),
  sphere: gridFor('sphere'),
};

export function gridOf(shape: Shape): Grid {
  return GRIDS[shape];
}

export type Profile = { grid: Grid; tempsC: Float64Array };

export function evenProfile(grid: Grid, tempC: number): Profile {
  return { grid, tempsC: new Float64Array(grid.volumes.length).fill(tempC) };
}

/** Steps up to this are taken about half old, half new; longer ones wholly new, so that nothing rings. */
export function shortStep({ width }: Grid): number {
  return 1.5 * width * width;
}

type Rows = { lower: Float64Array; middle: Float64Array; right: Float64Array };
const ROOM = Math.max(SLAB_PARTS, ROUND_PARTS) + 1;
/** Filled anew in every step. */
const ROWS: Rows = {
  lower: new Float64Array(ROOM),
  middle: new Float64Array(ROOM),
  right: new Float64Array(ROOM),
};

/** Heat through a face is a straight line about its present temperature: one Newton step. */
function addFace(node: number, tempC: number, side: Side, newShare: number): void {
  const steam = steamCooling(tempC, side.steamMaxK);
  const flux = side.biot * (side.ambientC - tempC - steam.byK);
  const falls = side.biot * (1 + steam.slope);
  ROWS.right[node] = (ROWS.right[node] ?? 0) + flux + newShare * falls * tempC;
  ROWS.middle[node] = (ROWS.middle[node] ?? 0) + newShare * falls;
}

/** The heat balances of all parts, faces shut. */
function balance({ grid, tempsC }: Profile, fourier: number, newShare: number): void {
  const { links, volumes } = grid;
  const last = volumes.length - 1;
  const { lower, middle, right } = ROWS;
  let here = tempsC[0] ?? 0;
  let [before, inner] = [here, 0];
  for (let i = 0; i <= last; i += 1) {
    const after = i < last ? (tempsC[i + 1] ?? 0) : here;
    const outer = links[i + 1] ?? 0;
    const stored = (volumes[i] ?? 0) / fourier;
    lower[i] = -newShare * inner;
    middle[i] = stored + newShare * (inner + outer);
    right[i] = stored * here + (1 - newShare) * (inner * (before - here) + outer * (after - here));
    [before, here, inner] = [here, after, outer];
  }
}

/** Solves the rows into the temperatures. The upper diagonal is the next row's lower one. */
function solve(tempsC: Float64Array): void {
  const last = tempsC.length - 1;
  const { lower, middle, right } = ROWS;
  for (let i = 1; i <= last; i += 1) {
    const below = lower[i] ?? 0;
    const ratio = below / (middle[i - 1] ?? 1);
    middle[i] = (middle[i] ?? 0) - ratio * below;
    right[i] = (right[i] ?? 0) - ratio * (right[i - 1] ?? 0);
  }
  let [after, upper] = [0, 0];
  for (let i = last; i >= 0; i -= 1) {
    after = ((right[i] ?? 0) - upper * after) / (middle[i] ?? 1);
    upper = lower[i] ?? 0;
    tempsC[i] = after;
  }
}

/**
 * Lets a time pass, in place: heat balances of the parts, the faces linearised.
 * @param fourier kappa times the time, above 0
 * @param first the side at node 0 of a slab
 * @param outer the side at the last node
 */
export function passTime(profile: Profile, fourier: number, first: Side, outer: Side): void {
  const { grid, tempsC } = profile;
  const last = tempsC.length - 1;
  const newShare = fourier <= shortStep(grid) ? 0.55 : 1;
  balance(profile, fourier, newShare);
  addFace(last, tempsC[last] ?? 0, outer, newShare);
  if (grid.isSlab) addFace(0, tempsC[0] ?? 0, first, newShare);
  solve(tempsC);
}

/**
 * Temperature at a place near the middle, degC, by a parabola through the three middle nodes.
 * @param offset from the middle in half thicknesses; in a slab above 0 = towards node 0
 */
export function tempAt({ grid, tempsC }: Profile, offset: number): number {
  const middle = grid.isSlab ? (tempsC.length - 1) / 2 : 0;
  const here = tempsC[middle] ?? 0;
  const after = tempsC[middle + 1] ?? 0;
  const before = grid.isSlab ? (tempsC[middle - 1] ?? 0) : after;
  const place = -offset / grid.width;
  return here + (place * (after - before)) / 2 + (place * place * (after - 2 * here + before)) / 2;
}
