import type { Chart } from 'chart.js';
import type { ChartInks } from '../../charts/setup.ts';
import type { ChartModel } from './chart-model.ts';

export type Drawing = {
  model: ChartModel;
  inks: ChartInks;
  isPhone: boolean;
  gateText: string;
  serveText: string;
};
export type Context = {
  c: CanvasRenderingContext2D;
  px: (x: number) => number;
  py: (y: number) => number;
  chart: Chart;
  drawing: Drawing;
};

export type Box = { from: number; to: number; top: number; bottom: number };

export function hatch({ c, drawing }: Context, { from, to, top, bottom }: Box): void {
  c.save();
  c.beginPath();
  c.rect(from, top, to - from, bottom - top);
  c.clip();
  c.strokeStyle = drawing.inks.hatch;
  c.lineWidth = drawing.isPhone ? 2 : 3;
  c.setLineDash([]);
  const height = bottom - top;
  for (let x = from - height; x < to; x += drawing.isPhone ? 8 : 12) {
    c.beginPath();
    c.moveTo(x, bottom);
    c.lineTo(x + height, top);
    c.stroke();
  }
  c.restore();
}

export function line({ c }: Context, from: [number, number], to: [number, number]): void {
  c.beginPath();
  c.moveTo(...from);
  c.lineTo(...to);
  c.stroke();
}

const FACE = "'Fira Sans', sans-serif";

export function labelFont({ isPhone }: Drawing, isStrong: boolean): string {
  return `${isStrong ? 600 : 500} ${isPhone ? 14 : 23}px ${FACE}`;
}

export type Label = {
  text: string;
  x: number;
  y: number;
  align: CanvasTextAlign;
  baseline?: CanvasTextBaseline;
  isStrong?: boolean;
  sizePx?: number;
};

export function fontOf(drawing: Drawing, { isStrong, sizePx }: Pick<Label, 'isStrong' | 'sizePx'>): string {
  return sizePx === undefined ? labelFont(drawing, isStrong === true) : `700 ${sizePx}px ${FACE}`;
}

/** Text with an edge in the colour of the field, so that it stays readable over lines. */
export function halo({ c, drawing }: Context, label: Label): void {
  const { text, x, y, align, baseline, isStrong, sizePx } = label;
  c.font = fontOf(drawing, label);
  c.textAlign = align;
  c.textBaseline = baseline ?? 'middle';
  c.lineJoin = 'round';
  c.lineWidth = drawing.isPhone ? 5 : 8;
  c.strokeStyle = drawing.inks.field;
  c.setLineDash([]);
  c.strokeText(text, x, y);
  c.fillStyle = isStrong === true || sizePx !== undefined ? drawing.inks.ink : drawing.inks.ink2;
  c.fillText(text, x, y);
}
