import type { Chart as ChartInstance, Plugin } from 'chart.js';
import type { RecordTrace } from '../../server/contract/api.ts';
import { MINUTE_MS } from '../format/duration.ts';
import { limitText } from '../format/temperature.ts';
import { chartInks } from './setup.ts';
import type { ChartInks } from './setup.ts';
import type { TraceSeries } from './trace-data.ts';

/** A step of the cook, drawn as a mark on the time axis; where words have no room, the higher rank is written. */
export type StepMark = { atMs: number; words: string; rank: number };
export type CheckMark = { atMs: number; tempC: number };
export type RecordChart = {
  trace: RecordTrace;
  steps: readonly StepMark[];
  checks: readonly CheckMark[];
  timeZone: string;
  /** How far the local clock is ahead of UTC, ms. */
  offsetMs: number;
};

const SCREEN_TEXT_PX = 15;
const PRINT_TEXT_PX = 11;
const WORD_ROOM_PX = 6;
const HATCH_PX = 8;
const PAPER_INKS: Partial<ChartInks> = {
  ink: '#000',
  ink2: '#333',
  field: '#fff',
  hair: '#ccc',
  line: '#999',
  hatch: '#777',
};

/** What a chart is drawn with: the colours of the ground, and how large and heavy for screen or paper. */
export type Pen = { inks: ChartInks; textPx: number; lineScale: number; isOnScreen: boolean };

export const screenPen = (): Pen => ({
  inks: chartInks(),
  textPx: SCREEN_TEXT_PX,
  lineScale: 1,
  isOnScreen: true,
});
export const paperPen = (): Pen => ({
  inks: { ...chartInks(), ...PAPER_INKS },
  textPx: PRINT_TEXT_PX,
  lineScale: 0.7,
  isOnScreen: false,
});
export const fontOf = (textPx: number): string =>
  `500 ${String(textPx)}px "Fira Sans", system-ui, sans-serif`;

function hatch(chart: ChartInstance, gaps: TraceSeries['gaps'], color: string): void {
  const { ctx, chartArea: area, scales } = chart;
  const x = scales['x'];
  if (x === undefined) return;
  for (const [from, to] of gaps) {
    const left = Math.max(area.left, x.getPixelForValue(from));
    const right = Math.min(area.right, Math.max(left + 2, x.getPixelForValue(to)));
    const height = area.bottom - area.top;
    ctx.save();
    ctx.beginPath();
    ctx.rect(left, area.top, right - left, height);
    ctx.clip();
    ctx.strokeStyle = color;
    ctx.lineWidth = 1.5;
    for (let at = left - height; at < right; at += HATCH_PX) {
      ctx.beginPath();
      ctx.moveTo(at, area.bottom);
      ctx.lineTo(at + height, area.top);
      ctx.stroke();
    }
    ctx.restore();
  }
}

/** A word on the plot, with a rim of the ground so that no line runs through it. */
function word(chart: ChartInstance, { inks, textPx }: Pen, at: { text: string; x: number; y: number }): void {
  const { ctx } = chart;
  ctx.font = fontOf(textPx);
  ctx.lineJoin = 'round';
  ctx.lineWidth = 4;
  ctx.strokeStyle = inks.field;
  ctx.strokeText(at.text, at.x, at.y);
  ctx.fillStyle = inks.ink;
  ctx.fillText(at.text, at.x, at.y);
}

function drawWedge(chart: ChartInstance, pen: Pen, px: number): void {
  const { ctx, chartArea: area } = chart;
  ctx.fillStyle = pen.inks.ink;
  ctx.beginPath();
  ctx.moveTo(px, area.bottom - 11);
  ctx.lineTo(px + 5, area.bottom);
  ctx.lineTo(px - 5, area.bottom);
  ctx.fill();
}

function drawSteps(chart: ChartInstance, pen: Pen, { steps, trace }: RecordChart): void {
  const { ctx, chartArea: area, scales } = chart;
  const x = scales['x'];
  if (x === undefined) return;
  ctx.textAlign = 'center';
  ctx.textBaseline = 'bottom';
  ctx.font = fontOf(pen.textPx);
  const written: { from: number; to: number }[] = [];
  for (const { atMs, words } of [...steps].sort((a, b) => b.rank - a.rank)) {
    if (!(atMs >= trace.fromMs && atMs <= trace.toMs)) continue;
    const px = x.getPixelForValue((atMs - trace.fromMs) / MINUTE_MS);
    drawWedge(chart, pen, px);
    const half = ctx.measureText(words).width / 2;
    const at = Math.min(area.right - half, Math.max(area.left + half, px));
    // A word that would run into another is left out: the list of steps has it.
    if (written.some(({ from, to }) => at - half < to + WORD_ROOM_PX && at + half > from - WORD_ROOM_PX))
      continue;
    word(chart, pen, { text: words, x: at, y: area.bottom - 13 });
    written.push({ from: at - half, to: at + half });
  }
}

function drawChecks(chart: ChartInstance, pen: Pen, { checks, trace }: RecordChart): void {
  const { ctx, scales } = chart;
  const { x, y } = scales;
  if (x === undefined || y === undefined) return;
  for (const { atMs, tempC } of checks) {
    const px = x.getPixelForValue((atMs - trace.fromMs) / MINUTE_MS);
    const py = y.getPixelForValue(tempC);
    ctx.beginPath();
    ctx.arc(px, py, 5, 0, 2 * Math.PI);
    ctx.fillStyle = pen.inks.field;
    ctx.fill();
    ctx.lineWidth = 2.5;
    ctx.strokeStyle = pen.inks.ink;
    ctx.stroke();
  }
}

function drawLevels(chart: ChartInstance, pen: Pen, { trace }: RecordChart): void {
  const { chartArea: area, ctx, scales } = chart;
  const y = scales['y'];
  if (y === undefined) return;
  const { limit, targetC } = trace;
  if (limit !== null) {
    // On the side where the line is not meant to be; a core that has passed its limit leaves the end of it free.
    const isAbove = limit.kind === 'max';
    const isAtEnd = limit.kind === 'core';
    ctx.textAlign = isAtEnd ? 'right' : 'left';
    ctx.textBaseline = isAbove ? 'bottom' : 'top';
    const py = y.getPixelForValue(limit.valueC) + (isAbove ? -3 : 4);
    word(chart, pen, {
      text: `limit ${limitText(limit.valueC)}`,
      x: isAtEnd ? area.right - 5 : area.left + 5,
      y: py,
    });
  }
  if (targetC === null) return;
  ctx.textAlign = 'left';
  ctx.textBaseline = 'bottom';
  word(chart, pen, {
    text: `take off ${limitText(targetC)}`,
    x: area.left + 5,
    y: y.getPixelForValue(targetC) - 3,
  });
}

/** Everything on a record chart that is not a line: hatched gaps, steps, spot checks, and the words at limit and target. */
export function marks(record: RecordChart, series: TraceSeries, pen: Pen): Plugin<'line'> {
  return {
    id: 'record-marks',
    beforeDatasetsDraw: (chart) => hatch(chart, series.gaps, pen.inks.hatch),
    afterDatasetsDraw: (chart) => {
      chart.ctx.save();
      drawLevels(chart, pen, record);
      drawSteps(chart, pen, record);
      drawChecks(chart, pen, record);
      chart.ctx.restore();
    },
  };
}
