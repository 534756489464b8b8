/** One mark of a heap: its centre, px from the post, and how many lie below it. */
export type Placed = { x: number; level: number };
export type HeapRoom = {
  /** Distance of two columns, px. */
  pitch: number;
  /** How many marks may lie on each other. */
  stackMax: number;
  /** The heap stays between these, px. */
  from: number;
  to: number;
};

type Column = { x: number; count: number };
const PUSH_ROUNDS = 80;
const TOUCH_PX = 0.01;

/**
 * Lays marks into a heap: bins of one pitch, fuller bins split sideways, columns pushed apart symmetrically.
 * @param xs where the marks would lie, px, ascending
 */
export function heapOf(xs: readonly number[], room: HeapRoom): Placed[] {
  const columns = binned(xs, room.pitch).flatMap((bin) => splitSideways(bin, room));
  for (let round = 0; round < PUSH_ROUNDS; round++) pushApart(columns, room);
  return columns.flatMap(({ x, count }) => Array.from({ length: count }, (_, level) => ({ x, level })));
}

function binned(xs: readonly number[], pitch: number): number[][] {
  const bins: number[][] = [];
  for (const x of xs) {
    const bin = bins.at(-1);
    const first = bin?.[0];
    if (bin === undefined || first === undefined || x - first >= pitch) bins.push([x]);
    else bin.push(x);
  }
  return bins;
}

function splitSideways(bin: readonly number[], { pitch, stackMax }: HeapRoom): Column[] {
  const mean = bin.reduce((sum, x) => sum + x, 0) / bin.length;
  const columns = Math.ceil(bin.length / stackMax);
  const each = Math.ceil(bin.length / columns);
  return Array.from({ length: columns }, (_, index) => ({
    x: mean + (index - (columns - 1) / 2) * pitch,
    count: Math.min(each, bin.length - index * each),
  }));
}

function pushApart(columns: Column[], { pitch, from, to }: HeapRoom): void {
  columns.forEach((column, index) => {
    const before = columns[index - 1];
    if (before === undefined) return;
    const distance = column.x - before.x;
    if (distance >= pitch - TOUCH_PX) return;
    column.x += (pitch - distance) / 2;
    before.x -= (pitch - distance) / 2;
  });
  const first = columns[0];
  if (first !== undefined) first.x = Math.max(first.x, from + pitch / 2);
  const last = columns.at(-1);
  if (last !== undefined) last.x = Math.min(last.x, to - pitch / 2);
}
