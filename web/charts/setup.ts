import { Chart, LineController, LineElement, LinearScale, PointElement } from 'chart.js';
import type { ChartOptions } from 'chart.js';

Chart.register(LineController, LineElement, PointElement, LinearScale);
Chart.defaults.font.family = "'Fira Sans', system-ui, sans-serif";

export { Chart };

/**
 * Settings that keep a chart cheap on a slow tablet: no animation, no parsing, no events, no decimation in the browser
 * (the server sends buckets). x is minutes on a linear scale, so no date adapter is needed.
 */
export const QUIET_OPTIONS = {
  animation: false,
  responsive: true,
  maintainAspectRatio: false,
  parsing: false,
  normalized: true,
  events: [],
  elements: { point: { radius: 0, hitRadius: 0 }, line: { tension: 0 } },
} as const satisfies ChartOptions<'line'>;

export type ChartInks = Record<
  'ink' | 'ink2' | 'field' | 'hair' | 'line' | 'wash' | 'bar' | 'hatch' | 'unsafe' | 'watch' | 'do',
  string
>;

/** The colours of the mode that is on: a canvas cannot read CSS variables by itself. */
export function chartInks(): ChartInks {
  const style = getComputedStyle(document.documentElement);
  const ink = (name: string): string => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: ink('ink'),
    ink2: ink('ink2'),
    field: ink('field'),
    hair: ink('hair'),
    line: ink('line'),
    wash: ink('wash'),
    bar: ink('bar'),
    hatch: ink('hatch'),
    unsafe: ink('unsafe'),
    watch: ink('watch'),
    do: ink('do'),
  };
}
