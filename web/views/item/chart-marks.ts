import type { Chart, Plugin } from 'chart.js';
import { LEAST_REST_MIN, coalPlaces, coalSizePx, isGateDrawn } from './chart-coals.ts';
import { halo, hatch, labelFont, line } from './chart-ink.ts';
import type { Box, Context, Drawing } from './chart-ink.ts';
import { drawWords } from './chart-words.ts';

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
  drawWords(context);
}

function drawLevels({ c, chart, drawing, py }: Context): void {
  const { left, right } = chart.chartArea;
  for (const { y, kind } of drawing.model.levels) {
    const at = py(y);
    // ink, not the colour of an alarm: a line that nothing has crossed is no alarm
    c.strokeStyle = drawing.inks.ink;
    c.lineWidth = drawing.isPhone ? 3 : 4;
    c.setLineDash(kind === 'limit' ? [14, 8] : []);
    c.beginPath();
    c.moveTo(left, at);
    c.lineTo(right, at);
    c.stroke();
    c.setLineDash([]);
  }
}

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
  if (gate === null || !isGateDrawn(model)) return;
  c.strokeStyle = inks.ink;
  c.lineWidth = isPhone ? 3 : 5;
  line(context, [gate, from - (isPhone ? 22 : 44)], [gate, bottom]);
}

function drawRest(context: Context, box: Box): void {
  const { isPhone, model } = context.drawing;
  hatch(context, box);
  if (box.to - box.from < (isPhone ? 34 : 84)) return;
  const text = isPhone ? 'rest' : `rest ${model.restMin}`;
  halo(context, { text, x: (box.from + box.to) / 2, y: (box.top + box.bottom) / 2, align: 'center' });
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

function drawCoals(context: Context): void {
  const { c, drawing, py } = context;
  const { model, inks, isPhone } = drawing;
  if (model.coalsY === null) return;
  const size = coalSizePx(isPhone);
  for (const { x, level, isLate } of coalPlaces(context)) {
    const y = py(model.coalsY) - size / 2 - 3 - level * (size + 1.5);
    const half = size / 2 - (isLate ? 1.5 : 0);
    c.beginPath();
    if (model.isHold) c.rect(x - half, y - half, 2 * half, 2 * half);
    else c.arc(x, y, half, 0, 2 * Math.PI);
    c.fillStyle = isLate ? inks.field : inks.ink;
    c.fill();
    if (!isLate) continue;
    c.lineWidth = isPhone ? 2 : 3;
    c.strokeStyle = inks.ink;
    c.stroke();
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

function drawNow({ c, drawing, px, py }: Context): void {
  const { model, isPhone, inks } = drawing;
  if (model.now === null) return;
  c.beginPath();
  c.arc(px(0), py(model.now.y), isPhone ? 6 : 11, 0, 2 * Math.PI);
  c.fillStyle = inks.ink;
  c.fill();
}
