import type { Chart as ChartInstance, ChartConfiguration } from 'chart.js';
import { clockText } from '../format/clock.ts';
import { MINUTE_MS } from '../format/duration.ts';
import { fontOf, marks, paperPen, screenPen } from './record-marks.ts';
import type { Pen, RecordChart } from './record-marks.ts';
import { Chart, QUIET_OPTIONS } from './setup.ts';
import { clockTicks, traceSeries } from './trace-data.ts';
import type { TraceSeries } from './trace-data.ts';

const PIXELS_PER_TICK = 80;
// The width of half an A4 page inside its margins, in CSS px at 96 to the inch.
const PRINT_SIZE_PX = { width: 330, height: 150 };

const flat = (series: TraceSeries, tempC: number): { x: number; y: number }[] => [
  { x: series.minX, y: tempC },
  { x: series.maxX, y: tempC },
];

function datasets(
  record: RecordChart,
  series: TraceSeries,
  pen: Pen,
): ChartConfiguration<'line'>['data']['datasets'] {
  const { limit, targetC } = record.trace;
  // A sharp join would reach beyond the highest reading.
  const level = { pointRadius: 0, borderColor: pen.inks.ink, borderJoinStyle: 'round' as const };
  return [
    { ...level, data: [...series.line], borderWidth: 2 * pen.lineScale },
    { ...level, data: [...series.outside], borderWidth: 6 * pen.lineScale },
    ...(limit === null
      ? []
      : [
          {
            ...level,
            data: flat(series, limit.valueC),
            borderWidth: 1.5 * pen.lineScale,
            borderDash: [7, 5],
          },
        ]),
    ...(targetC === null
      ? []
      : [{ ...level, data: flat(series, targetC), borderWidth: 1.5 * pen.lineScale }]),
  ];
}

function config(record: RecordChart, pen: Pen): ChartConfiguration<'line'> {
  const series = traceSeries(record.trace);
  const { trace, timeZone, offsetMs } = record;
  const text = {
    font: { size: pen.textPx, weight: 500 as const },
    color: pen.inks.ink2,
    maxRotation: 0,
    padding: 4,
  };
  const grid = { color: pen.inks.hair, lineWidth: 1, tickLength: 0 };
  return {
    type: 'line',
    plugins: [marks(record, series, pen)],
    data: { datasets: datasets(record, series, pen) },
    options: {
      ...QUIET_OPTIONS,
      responsive: pen.isOnScreen,
      layout: { padding: { top: 6, right: 8 } },
      scales: {
        x: {
          type: 'linear',
          min: series.minX,
          max: series.maxX,
          grid,
          border: { color: pen.inks.line },
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
  const draw = (pen: Pen): void => {
    chart?.destroy();
    chart = new Chart(canvas, config(record, pen));
    if (!pen.isOnScreen) chart.resize(PRINT_SIZE_PX.width, PRINT_SIZE_PX.height);
  };
  const toPaper = (): void => draw(paperPen());
  const toScreen = (): void => draw(screenPen());
  // A canvas does not redraw itself when a font arrives.
  void document.fonts.load(fontOf(1)).then(() => {
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
