export type LabelBox = { left: number; top: number; right: number; bottom: number };
export type Obstacles = {
  /** Post, gate, pole, coals, other words: what a label must not lie across. */
  hard: readonly LabelBox[];
  /** Points of a curve, which a label may cover when there is no other room. */
  soft: readonly { x: number; y: number }[];
  area: LabelBox;
};

const HARD_COST = 1000;
const OUTSIDE_COST = 1_000_000;

/** The first of the places offered that covers least; a place outside the area is the last resort. */
export function freestPlace<T extends { box: LabelBox }>(
  places: readonly [T, ...T[]],
  obstacles: Obstacles,
): T {
  return places.reduce((best, place) =>
    cost(place.box, obstacles) < cost(best.box, obstacles) ? place : best,
  );
}

function cost(box: LabelBox, { hard, soft, area }: Obstacles): number {
  const isInside =
    box.left >= area.left && box.right <= area.right && box.top >= area.top && box.bottom <= area.bottom;
  const struck = hard.filter((other) => touches(box, other)).length;
  const covered = soft.filter(
    ({ x, y }) => x >= box.left && x <= box.right && y >= box.top && y <= box.bottom,
  ).length;
  return (isInside ? 0 : OUTSIDE_COST) + struck * HARD_COST + covered;
}

function touches(a: LabelBox, b: LabelBox): boolean {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}
