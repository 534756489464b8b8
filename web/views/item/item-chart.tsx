import type { ChartConfiguration } from 'chart.js';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { Chart, QUIET_OPTIONS, chartInks } from '../../charts/setup.ts';
import { clockText } from '../../format/clock.ts';
import { MINUTE_MS } from '../../format/duration.ts';
import { mode } from '../../mode.ts';
import { marksPlugin } from './chart-marks.ts';
import type { Drawing } from './chart-ink.ts';
import { clockTicks } from './chart-model.ts';
import type { ChartModel } from './chart-model.ts';

type ItemChartProps = {
  model: ChartModel;
  nowMs: number;
  timeZone: string;
  isPhone: boolean;
  sentence: string;
};

/** The temperature of a row so far and its ten projected curves, with the ten coals where the curves end. */
export function ItemChart(props: ItemChartProps): JSX.Element {
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<Chart<'line'> | null>(null);
  const newest = useRef(props);
  newest.current = props;
  const dark = mode.value;
  useEffect(() => {
    if (canvas.current === null) return undefined;
    const made = new Chart(
      canvas.current,
      configuration(() => newest.current),
    );
    chart.current = made;
    void document.fonts.ready.then(() => made.update('none'));
    return () => {
      chart.current = null;
      made.destroy();
    };
  }, [dark, props.isPhone]);
  useEffect(() => {
    if (chart.current === null) return;
    const { data, options } = configuration(() => newest.current);
    chart.current.data = data;
    if (options !== undefined) chart.current.options = options;
    chart.current.update('none');
  }, [props.model]);
  return (
    <div class="canvas-box">
      <canvas ref={canvas} role="img" aria-label={props.sentence} />
    </div>
  );
}

function configuration(current: () => ItemChartProps): ChartConfiguration<'line'> {
  const { model, isPhone } = current();
  const inks = chartInks();
  const drawing = (): Drawing => ({ ...drawingOf(current()), inks });
  const history = { data: model.line, borderColor: inks.ink, borderWidth: isPhone ? 3 : 5, spanGaps: false };
  const curves = model.curves.map(({ points, isLate }) => ({
    data: points,
    borderColor: inks.bar,
    borderWidth: isPhone ? 1 : 2,
    borderDash: isLate ? [5, 5] : [],
  }));
  return {
    type: 'line',
    data: { datasets: [history, ...curves] },
    options: {
      ...QUIET_OPTIONS,
      layout: { padding: { right: isPhone ? 6 : 16, top: 4 } },
      scales: scales(current()),
    },
    plugins: [marksPlugin(drawing)],
  };
}

function drawingOf({ model, isPhone, nowMs, timeZone }: ItemChartProps): Omit<Drawing, 'inks'> {
  const clockAt = (x: number | null): string =>
    x === null ? '' : clockText(nowMs + x * MINUTE_MS, timeZone);
  return {
    model,
    isPhone,
    gateText: isPhone ? `Off ${clockAt(model.gateX)}` : `Off by ${clockAt(model.gateX)}`,
    serveText: clockAt(model.serveX),
  };
}

type Scales = NonNullable<NonNullable<ChartConfiguration<'line'>['options']>['scales']>;

function scales({ model, nowMs, timeZone, isPhone }: ItemChartProps): Scales {
  const inks = chartInks();
  const ticks = {
    color: inks.ink2,
    font: { size: isPhone ? 14 : 23, weight: 500 },
    maxRotation: 0,
    padding: 8,
  };
  const grid = { color: inks.hair, lineWidth: 2, tickLength: 0 };
  return {
    x: {
      type: 'linear',
      min: model.xMin,
      max: model.xMax,
      border: { color: inks.ink, width: 3 },
      grid,
      afterBuildTicks: (scale) => {
        scale.ticks = clockTicks(model.xMin, model.xMax, nowMs, isPhone ? 4 : 7).map((value) => ({ value }));
      },
      ticks: { ...ticks, callback: (value) => clockText(nowMs + Number(value) * MINUTE_MS, timeZone) },
    },
    y: {
      min: model.yMin,
      max: model.yMax,
      border: { display: false },
      grid,
      ticks: { ...ticks, maxTicksLimit: 6, includeBounds: false, callback: (value) => `${value}°` },
    },
  };
}
