import { heapOf } from '../live/heap.ts';
import type { Context } from './chart-ink.ts';
import type { ChartModel } from './chart-model.ts';

export function coalSizePx(isPhone: boolean): number {
  return isPhone ? 10 : 18;
}

type Coal = { x: number; level: number; isLate: boolean };

/** Where the ten lie, px; none left of the post or across the gate. */
export function coalPlaces({ chart, drawing, px }: Context): Coal[] {
  const { model, isPhone } = drawing;
  const pitch = coalSizePx(isPhone) + 2.5;
  const { right } = chart.chartArea;
  const post = px(0) + (isPhone ? 3 : 6);
  const gate = model.gateX === null ? right : Math.max(post, px(model.gateX));
  const early = model.coals.filter(({ isLate }) => !isLate).map(({ x }) => px(x));
  const late = model.coals.filter(({ isLate }) => isLate).map(({ x }) => px(x));
  const earlyTo = late.length > 0 ? gate - 3 : right;
  return [
    ...laid(early, { pitch, from: post, to: earlyTo }).map((coal) => ({ ...coal, isLate: false })),
    ...laid(late, { pitch, from: gate + 3, to: right }).map((coal) => ({ ...coal, isLate: true })),
  ];
}

/** A heap that the post would cut is moved to its right as a whole. */
function laid(xs: readonly number[], room: { pitch: number; from: number; to: number }): Coal[] {
  const heap = heapOf(xs, { ...room, stackMax: 3 });
  const least = Math.min(...heap.map(({ x }) => x)) - room.pitch / 2;
  const shift = Math.max(0, room.from - least);
  return heap.map(({ x, level }) => ({ x: x + shift, level, isLate: false }));
}

export const LEAST_REST_MIN = 4;

/** The gate is drawn where there is a rest, or where a coal comes too late. */
export function isGateDrawn({ restMin, coals }: ChartModel): boolean {
  return restMin >= LEAST_REST_MIN || coals.some(({ isLate }) => isLate);
}
