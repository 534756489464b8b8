import type { Chart as ChartInstance, ChartConfiguration, Plugin } from 'chart.js';
import type { RecordTrace } from '../../server/contract/api.ts';
import { limitText } from '../format/temperature.ts';
import { clockText } from '../format/clock.ts';
import { Chart, QUIET_OPTIONS, chartInks } from './setup.ts';
import type { ChartInks } from './setup.ts';
import { clockTicks, traceSeries } from './trace-data.ts';
import type { TraceSeries } from './trace-data.ts';

/** A step of the cook, drawn as a mark on the time axis; where words have no room, the higher rank is written. */
export type StepMark = { atMs: number; words: string; rank: number };
export type CheckMark = { atMs: number; tempC: number };
export type RecordChart = {
  trace: RecordTrace;
  steps: readonly StepMark[];
  checks: readonly CheckMark[];
  timeZone: string;
  /** Minutes that the clock of the place is ahead of UTC, as ms. */
  offsetMs: number;
};

const MINUTE_MS = 60_000;
const TEXT_PX = 15;
const FONT = `500 ${String(TEXT_PX)}px "Fira Sans", system-ui, sans-serif`;
const WORD_ROOM_PX = 6;
const HATCH_PX = 8;
const PIXELS_PER_TICK = 80;
// The width of half an A4 page inside its margins, in CSS px at 96 to the inch.
const PRINT_SIZE_PX = { width: 330, height: 150 };
const PAPER_INKS: Partial<ChartInks> = {
  ink: '#000',
  ink2: '#333',
  field: '#fff',
  hair: '#ccc',
  line: '#999',
  hatch: '#777',
};

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
function word(chart: ChartInstance, inks: ChartInks, at: { text: string; x: number; y: number }): void {
  const { ctx } = chart;
  ctx.font = FONT;
  ctx.lineJoin = 'round';
  ctx.lineWidth = 4;
  ctx.strokeStyle = inks.field;
  ctx.strokeText(at.text, at.x, at.y);
  ctx.fillStyle = inks.ink;
  ctx.fillText(at.text, at.x, at.y);
}

function drawWedge(chart: ChartInstance, inks: ChartInks, px: number): void {
  const { ctx, chartArea: area } = chart;
  ctx.fillStyle = inks.ink;
  ctx.beginPath();
  ctx.moveTo(px, area.bottom - 11);
  ctx.lineTo(px + 5, area.bottom);
  ctx.lineTo(px - 5, area.bottom);
  ctx.fill();
}

function drawSteps(chart: ChartInstance, inks: ChartInks, { steps, trace }: RecordChart): void {
  const { ctx, chartArea: area, scales } = chart;
  const x = scales['x'];
  if (x === undefined) return;
  ctx.textAlign = 'center';
  ctx.textBaseline = 'bottom';
  ctx.font = FONT;
  const written: { from: number; to: number }[] = [];
  for (const { atMs, words } of [...steps].sort((a, b) => b.rank - a.rank)) {
    if (!(atMs >= trace.fromMs && atMs <= trace.toMs)) continue;
    const px = x.getPixelForValue((atMs - trace.fromMs) / MINUTE_MS);
    drawWedge(chart, inks, px);
    const half = ctx.measureText(words).width / 2;
    const at = Math.min(area.right - half, Math.max(area.left + half, px));
    // A word that would run into another is left out: the list of steps has it.
    if (written.some(({ from, to }) => at - half < to + WORD_ROOM_PX && at + half > from - WORD_ROOM_PX))
      continue;
    word(chart, inks, { text: words, x: at, y: area.bottom - 13 });
    written.push({ from: at - half, to: at + half });
  }
}

function drawChecks(chart: ChartInstance, inks: ChartInks, { checks, trace }: RecordChart): void {
  const { ctx, scales } = chart;
  const { x, y } = scales;
  if (x === undefined || y === undefined) return;
  for (const { atMs, tempC } of checks) {
    const px = x.getPixelForValue((atMs - trace.fromMs) / MINUTE_MS);
    const py = y.getPixelForValue(tempC);
    ctx.beginPath();
    ctx.arc(px, py, 5, 0, 2 * Math.PI);
    ctx.fillStyle = inks.field;
    ctx.fill();
    ctx.lineWidth = 2.5;
    ctx.strokeStyle = inks.ink;
    ctx.stroke();
  }
}

function drawLevels(chart: ChartInstance, inks: ChartInks, { trace }: RecordChart): void {
  const { chartArea: area, ctx, scales } = chart;
  const y = scales['y'];
  if (y === undefined) return;
  ctx.textAlign = 'left';
  const { limit, targetC } = trace;
  if (limit !== null) {
    // Above a ceiling, below a floor and below what has to be reached: on the side where the line is not meant to be.
    const isAbove = limit.kind === 'max';
    ctx.textBaseline = isAbove ? 'bottom' : 'top';
    const py = y.getPixelForValue(limit.valueC) + (isAbove ? -3 : 4);
    word(chart, inks, { text: `limit ${limitText(limit.valueC)}`, x: area.left + 5, y: py });
  }
  if (targetC === null) return;
  ctx.textBaseline = 'bottom';
  word(chart, inks, {
    text: `take off ${limitText(targetC)}`,
    x: area.left + 5,
    y: y.getPixelForValue(targetC) - 3,
  });
}

function marks(record: RecordChart, series: TraceSeries, inks: ChartInks): Plugin<'line'> {
  return {
    id: 'record-marks',
    beforeDatasetsDraw: (chart) => hatch(chart, series.gaps, inks.hatch),
    afterDatasetsDraw: (chart) => {
      chart.ctx.save();
      drawLevels(chart, inks, record);
      drawSteps(chart, inks, record);
      drawChecks(chart, inks, record);
      chart.ctx.restore();
    },
  };
}

const flat = (series: TraceSeries, tempC: number): { x: number; y: number }[] => [
  { x: series.minX, y: tempC },
  { x: series.maxX, y: tempC },
];

function datasets(
  record: RecordChart,
  series: TraceSeries,
  inks: ChartInks,
): ChartConfiguration<'line'>['data']['datasets'] {
  const { limit, targetC } = record.trace;
  const level = { pointRadius: 0, borderColor: inks.ink };
  return [
    { ...level, data: [...series.line], borderWidth: 2 },
    { ...level, data: [...series.outside], borderWidth: 6 },
    ...(limit === null
      ? []
      : [{ ...level, data: flat(series, limit.valueC), borderWidth: 1.5, borderDash: [7, 5] }]),
    ...(targetC === null ? [] : [{ ...level, data: flat(series, targetC), borderWidth: 1.5 }]),
  ];
}

function config(record: RecordChart, inks: ChartInks, isOnScreen: boolean): ChartConfiguration<'line'> {
  const series = traceSeries(record.trace);
  const { trace, timeZone, offsetMs } = record;
  const text = {
    font: { size: TEXT_PX, weight: 500 as const },
    color: inks.ink2,
    maxRotation: 0,
    padding: 4,
  };
  const grid = { color: inks.hair, lineWidth: 1, tickLength: 0 };
  return {
    type: 'line',
    plugins: [marks(record, series, inks)],
    data: { datasets: datasets(record, series, inks) },
    options: {
      ...QUIET_OPTIONS,
      responsive: isOnScreen,
      layout: { padding: { top: 6, right: 8 } },
      scales: {
        x: {
          type: 'linear',
          min: series.minX,
          max: series.maxX,
          grid,
          border: { color: inks.line },
          afterBuildTicks: (axis) => {
            const most = Math.max(2, Math.floor(axis.width / PIXELS_PER_TICK));
            const ticks = clockTicks({ fromMs: trace.fromMs, toMs: trace.toMs, offsetMs }, most);
            axis.ticks = ticks.map((value) => ({ value }));
          },
          ticks: {
            ...text,
            autoSkip: false,
            callback: (value) => clockText(trace.fromMs + Number(value) * MINUTE_MS, timeZone),
          },
        },
        y: {
          type: 'linear',
          min: series.minY,
          max: series.maxY,
          grid,
          border: { display: false },
          ticks: {
            ...text,
            stepSize: series.stepY,
            autoSkip: false,
            callback: (value) => `${String(value)}°`,
          },
        },
      },
    },
  };
}

/**
 * Draws one trace of the record: on the screen in the inks of the mode, while printing black on white and as wide as
 * half a page.
 *
 * @returns a function that takes the chart down again
 */
export function drawRecordChart(canvas: HTMLCanvasElement, record: RecordChart): () => void {
  let chart: ChartInstance<'line'> | null = null;
  let isGone = false;
  const draw = (inks: ChartInks, isOnScreen: boolean): void => {
    chart?.destroy();
    chart = new Chart(canvas, config(record, inks, isOnScreen));
    if (!isOnScreen) chart.resize(PRINT_SIZE_PX.width, PRINT_SIZE_PX.height);
  };
  const toPaper = (): void => draw({ ...chartInks(), ...PAPER_INKS }, false);
  const toScreen = (): void => draw(chartInks(), true);
  // A canvas does not redraw itself when a font arrives.
  void document.fonts.load(FONT).then(() => {
    if (!isGone) toScreen();
  });
  addEventListener('beforeprint', toPaper);
  addEventListener('afterprint', toScreen);
  return () => {
    isGone = true;
    removeEventListener('beforeprint', toPaper);
    removeEventListener('afterprint', toScreen);
    chart?.destroy();
  };
}
