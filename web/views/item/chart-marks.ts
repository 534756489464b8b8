import type { Chart, Plugin } from 'chart.js';
import type { ChartInks } from '../../charts/setup.ts';
import { degText } from '../../format/temperature.ts';
import { heapOf } from '../live/heap.ts';
import type { ChartModel } from './chart-model.ts';

export type Drawing = {
  model: ChartModel;
  inks: ChartInks;
  isPhone: boolean;
  gateText: string;
  serveText: string;
};
type Context = {
  c: CanvasRenderingContext2D;
  px: (x: number) => number;
  py: (y: number) => number;
  chart: Chart;
  drawing: Drawing;
};

/** Draws everything of the item chart that is not a plain line, from a drawing that may change between frames. */
export function marksPlugin(current: () => Drawing): Plugin<'line'> {
  const paint = (chart: Chart, draw: (context: Context) => void): void => {
    const { x, y } = chart.scales;
    if (x === undefined || y === undefined) return;
    const c = chart.ctx;
    c.save();
    draw({
      c,
      chart,
      drawing: current(),
      px: (v) => x.getPixelForValue(v),
      py: (v) => y.getPixelForValue(v),
    });
    c.restore();
  };
  return {
    id: 'item-marks',
    beforeDatasetsDraw: (chart) => paint(chart, drawBehind),
    afterDatasetsDraw: (chart) => paint(chart, drawAbove),
  };
}

function drawBehind(context: Context): void {
  const { c, chart, drawing, px } = context;
  const { left, right, top, bottom } = chart.chartArea;
  for (const gap of drawing.model.gaps) {
    const from = Math.max(left, px(gap.from));
    const to = Math.min(right, px(gap.to));
    if (to - from < 1) continue;
    hatch(context, { from, to, top, bottom });
    if (to - from > (drawing.isPhone ? 40 : 70)) {
      halo(context, { text: 'no reading', x: (from + to) / 2, y: top + 24, align: 'center' });
      halo(context, {
        text: gap.text,
        x: (from + to) / 2,
        y: top + (drawing.isPhone ? 42 : 50),
        align: 'center',
      });
    }
  }
  c.strokeStyle = drawing.inks.bar;
  c.lineWidth = drawing.isPhone ? 1 : 2;
  for (const { x, low, high } of drawing.model.spread)
    line(context, [px(x), context.py(low)], [px(x), context.py(high)]);
}

function drawAbove(context: Context): void {
  const { c, chart, drawing, px } = context;
  const { bottom, top } = chart.chartArea;
  drawServing(context);
  drawLevels(context);
  c.setLineDash([]);
  c.fillStyle = drawing.inks.ink;
  const half = drawing.isPhone ? 2 : 4;
  c.fillRect(px(0) - half, top, 2 * half, bottom - top);
  drawStepMarks(context);
  drawCoals(context);
  drawChecks(context);
  drawNow(context);
}

function drawLevels(context: Context): void {
  const { c, chart, drawing, py } = context;
  const { left, right } = chart.chartArea;
  for (const { y, text, kind } of drawing.model.levels) {
    const at = py(y);
    // ink, not the colour of an alarm: a line that nothing has crossed is no alarm
    c.strokeStyle = drawing.inks.ink;
    c.lineWidth = drawing.isPhone ? 3 : 4;
    c.setLineDash(kind === 'limit' ? [14, 8] : []);
    line(context, [left, at], [right, at]);
    c.setLineDash([]);
    // a core that is past its limit has drawn its curve where the words would stand on the left
    const isPassed =
      kind === 'limit' && drawing.model.levels.length > 1 && (drawing.model.now?.y ?? -Infinity) > y;
    halo(context, {
      text,
      x: isPassed ? right - 8 : left + 8,
      y: kind === 'limit' ? at + 8 : at - 8,
      align: isPassed ? 'right' : 'left',
      baseline: kind === 'limit' ? 'top' : 'bottom',
      isStrong: true,
    });
  }
}

const LEAST_REST_MIN = 4;

/** The gate (latest take-off), the rest slot and the serving pole: the same marks as on the lane. */
function drawServing(context: Context): void {
  const { c, chart, drawing, px, py } = context;
  const { model, isPhone, inks } = drawing;
  const { bottom, right, top } = chart.chartArea;
  const from = model.coalsY === null ? top : py(model.coalsY);
  const slot = isPhone ? 30 : 62;
  const ahead = (x: number | null): number | null => (x !== null && x > 0 && x <= model.xMax ? px(x) : null);
  const gate = ahead(model.gateX);
  const serve = ahead(model.serveX);
  const isRest = model.restMin >= LEAST_REST_MIN;
  if (gate !== null && isRest)
    drawRest(context, { from: gate, to: serve ?? right, top: bottom - slot, bottom });
  if (serve !== null) drawPole(context, { x: serve, from, bottom });
  if (gate === null || !(isRest || model.coals.some(({ isLate }) => isLate))) return;
  c.strokeStyle = inks.ink;
  c.lineWidth = isPhone ? 3 : 5;
  line(context, [gate, from - (isPhone ? 22 : 44)], [gate, bottom]);
  drawGateText(context, { x: gate, slot, bottom });
}

function drawRest(context: Context, box: Box): void {
  const { isPhone, model } = context.drawing;
  hatch(context, box);
  if (box.to - box.from < (isPhone ? 34 : 84)) return;
  const text = isPhone ? 'rest' : `rest ${model.restMin}`;
  halo(context, { text, x: (box.from + box.to) / 2, y: (box.top + box.bottom) / 2, align: 'center' });
}

type GateText = { x: number; slot: number; bottom: number };

/** Left of the gate, or over the rest slot where the post is too near. */
function drawGateText(context: Context, { x, slot, bottom }: GateText): void {
  const { isPhone, gateText } = context.drawing;
  const isLeft = x - context.px(0) > (isPhone ? 50 : 150);
  const y = isLeft ? bottom - slot / 2 : bottom - slot - (isPhone ? 56 : 84);
  halo(context, {
    text: gateText,
    x: x + (isLeft ? -10 : 8),
    y,
    align: isLeft ? 'right' : 'left',
    isStrong: true,
  });
}

type Pole = { x: number; from: number; bottom: number };

function drawPole(context: Context, { x, from, bottom }: Pole): void {
  const { c, chart, drawing } = context;
  c.strokeStyle = drawing.inks.ink;
  c.lineWidth = 3;
  c.lineCap = 'round';
  c.setLineDash([2, 8]);
  line(context, [x, from], [x, bottom]);
  c.setLineDash([]);
  c.lineCap = 'butt';
  const isRight = x + (drawing.isPhone ? 44 : 72) < chart.width;
  const align = isRight ? 'left' : 'right';
  const at = x + (isRight ? 9 : -9);
  const step = drawing.isPhone ? 16 : 26;
  const foot = isRight ? bottom - 20 : bottom - (drawing.isPhone ? 46 : 82);
  halo(context, { text: 'Serve', x: at, y: foot - step, align, isStrong: true });
  halo(context, { text: drawing.serveText, x: at, y: foot, align, isStrong: true });
}

/** Small flags at the foot of the chart: turned, moved, lid open ... */
function drawStepMarks(context: Context): void {
  const { c, chart, drawing, px } = context;
  const { left, bottom } = chart.chartArea;
  const size = drawing.isPhone ? 5 : 9;
  let freeFrom = left;
  for (const { x, text } of drawing.model.marks) {
    const at = px(x);
    if (at < left) continue;
    c.fillStyle = drawing.inks.ink;
    c.beginPath();
    c.moveTo(at - size, bottom);
    c.lineTo(at + size, bottom);
    c.lineTo(at, bottom - 2 * size);
    c.fill();
    c.font = labelFont(drawing, false);
    const width = c.measureText(text).width;
    const from = Math.min(at - width / 2, px(0) - width - 10);
    if (from < freeFrom) continue;
    halo(context, { text, x: from, y: bottom - 2 * size - 12, align: 'left' });
    freeFrom = from + width + 10;
  }
}

function drawCoals({ c, chart, drawing, px, py }: Context): void {
  const { model, inks, isPhone } = drawing;
  if (model.coalsY === null) return;
  const size = isPhone ? 10 : 18;
  const pitch = size + 2.5;
  const gate = model.gateX === null ? chart.chartArea.right : px(model.gateX);
  const early = model.coals.filter(({ isLate }) => !isLate).map(({ x }) => px(x));
  const late = model.coals.filter(({ isLate }) => isLate).map(({ x }) => px(x));
  const earlyTo = late.length > 0 ? gate - 3 : chart.chartArea.right;
  const groups = [
    { isLate: false, heap: heapOf(early, { pitch, stackMax: 3, from: px(0), to: earlyTo }) },
    { isLate: true, heap: heapOf(late, { pitch, stackMax: 3, from: gate + 3, to: chart.chartArea.right }) },
  ];
  for (const { isLate, heap } of groups) {
    for (const { x, level } of heap) {
      c.beginPath();
      c.arc(
        x,
        py(model.coalsY) - size / 2 - 3 - level * (size + 1.5),
        size / 2 - (isLate ? 1.5 : 0),
        0,
        2 * Math.PI,
      );
      c.fillStyle = isLate ? inks.field : inks.ink;
      c.fill();
      if (!isLate) continue;
      c.lineWidth = isPhone ? 2 : 3;
      c.strokeStyle = inks.ink;
      c.stroke();
    }
  }
}

/** Spot checks by hand: squares standing on their corner. */
function drawChecks({ c, drawing, px, py }: Context): void {
  const size = drawing.isPhone ? 7 : 12;
  for (const { x, y } of drawing.model.checks) {
    c.beginPath();
    c.moveTo(px(x), py(y) - size);
    c.lineTo(px(x) + size, py(y));
    c.lineTo(px(x), py(y) + size);
    c.lineTo(px(x) - size, py(y));
    c.closePath();
    c.fillStyle = drawing.inks.field;
    c.fill();
    c.lineWidth = drawing.isPhone ? 2 : 4;
    c.strokeStyle = drawing.inks.ink;
    c.stroke();
  }
}

function drawNow(context: Context): void {
  const { c, drawing, px, py } = context;
  const { model, isPhone, inks } = drawing;
  if (model.now === null) return;
  c.beginPath();
  c.arc(px(0), py(model.now.y), isPhone ? 6 : 11, 0, 2 * Math.PI);
  c.fillStyle = inks.ink;
  c.fill();
  const y = py(model.now.y);
  const sizePx = isPhone ? 22 : 44;
  const isCrowded = model.levels.some((level) => y - py(level.y) > 0 && y - py(level.y) < 1.6 * sizePx);
  const earlier = model.line.findLast((point) => point.x < -10 && Number.isFinite(point.y));
  const isBelow = isCrowded || (earlier !== undefined && earlier.y > model.now.y);
  halo(context, {
    text: degText(model.now.y),
    x: isCrowded ? px(0) + 14 : px(0) - (isPhone ? 12 : 24),
    y: isBelow ? y + 8 : y - 6,
    align: isCrowded ? 'left' : 'right',
    baseline: isBelow ? 'top' : 'bottom',
    sizePx,
  });
}

type Box = { from: number; to: number; top: number; bottom: number };

function hatch({ c, drawing }: Context, { from, to, top, bottom }: Box): void {
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

function line({ c }: Context, from: [number, number], to: [number, number]): void {
  c.beginPath();
  c.moveTo(...from);
  c.lineTo(...to);
  c.stroke();
}

const FACE = "'Fira Sans', sans-serif";

function labelFont({ isPhone }: Drawing, isStrong: boolean): string {
  return `${isStrong ? 600 : 500} ${isPhone ? 14 : 23}px ${FACE}`;
}

type Label = {
  text: string;
  x: number;
  y: number;
  align: CanvasTextAlign;
  baseline?: CanvasTextBaseline;
  isStrong?: boolean;
  sizePx?: number;
};

/** Text with an edge in the colour of the field, so that it stays readable over lines. */
function halo({ c, drawing }: Context, { text, x, y, align, baseline, isStrong, sizePx }: Label): void {
  c.font = sizePx === undefined ? labelFont(drawing, isStrong === true) : `700 ${sizePx}px ${FACE}`;
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
