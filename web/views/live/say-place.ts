export type SayPlace = { x: number; anchor: 'start' | 'end'; isHigh: boolean };
export type SayMark = {
  x: number;
  half: number;
  /** True when it reaches into the upper part of the lane. */
  isHigh: boolean;
};
export type SayRoom = {
  /** Width of the words, px. */
  textPx: number;
  lanePx: number;
  /** Where words stand in an empty lane, px from the post. */
  insetPx: number;
  /** Centres and half widths of everything that is drawn. */
  marks: readonly SayMark[];
  /** Left end of the heap; null when there is none. */
  heapX: number | null;
};

const GAP_PX = 10;

/**
 * Words stand left of the heap, else in the first stretch that is free, else above single marks where nothing is
 * stacked, else nowhere: they never cover a mark.
 */
export function sayPlace(room: SayRoom): SayPlace | null {
  const low = placeAmong(room, room.marks);
  if (low !== null) return { ...low, isHigh: false };
  const high = placeAmong(
    room,
    room.marks.filter(({ isHigh }) => isHigh),
  );
  return high === null ? null : { ...high, isHigh: true };
}

type Place = Omit<SayPlace, 'isHigh'>;

function placeAmong({ textPx, lanePx, insetPx, heapX }: SayRoom, marks: readonly SayMark[]): Place | null {
  const isFree = (from: number): boolean =>
    from >= 0 &&
    from + textPx <= lanePx &&
    marks.every(({ x, half }) => from + textPx + GAP_PX <= x - half || from - GAP_PX >= x + half);
  const beforeHeap = heapX === null ? null : heapX - GAP_PX - textPx;
  if (beforeHeap !== null && isFree(beforeHeap)) return { x: beforeHeap + textPx, anchor: 'end' };
  const starts = [insetPx, ...marks.map(({ x, half }) => x + half + GAP_PX).sort((a, b) => a - b)];
  const start = starts.find(isFree);
  return start === undefined ? null : { x: start, anchor: 'start' };
}
