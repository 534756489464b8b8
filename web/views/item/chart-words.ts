import { degText } from '../../format/temperature.ts';
import { coalPlaces, coalSizePx, isGateDrawn } from './chart-coals.ts';
import { fontOf, halo } from './chart-ink.ts';
import type { Context, Label } from './chart-ink.ts';
import type { Level } from './chart-model.ts';
import { freestPlace } from './label-place.ts';
import type { LabelBox } from './label-place.ts';

/** The words of the levels and the number at now, each where it covers least; none lies across post, gate or pole. */
export function drawWords(context: Context): void {
  const { drawing } = context;
  const taken: LabelBox[] = standing(context);
  const soft = curvePoints(context);
  const { left, right, top, bottom } = context.chart.chartArea;
  const put = (places: readonly [Placed, ...Placed[]]): void => {
    const place = freestPlace(places, { hard: taken, soft, area: { left, right, top, bottom } });
    halo(context, place.label);
    taken.push(place.box);
  };
  const gate = gatePlaces(context);
  if (gate !== null) put(gate);
  const now = nowPlaces(context);
  if (now !== null) put(now);
  for (const level of drawing.model.levels) put(levelPlaces(context, level));
}

type Placed = { label: Label; box: LabelBox };

function placed(context: Context, label: Label): Placed {
  const { c, drawing } = context;
  const sizePx = label.sizePx ?? (drawing.isPhone ? 14 : 23);
  c.font = fontOf(drawing, label);
  const width = c.measureText(label.text).width;
  const left = label.align === 'right' ? label.x - width : label.x;
  const top = label.baseline === 'bottom' ? label.y - sizePx : label.y;
  return { label, box: { left, top, right: left + width, bottom: top + sizePx } };
}

/** Everything that stands in the chart and may not be written over. */
function standing(context: Context): LabelBox[] {
  const { chart, drawing, px, py } = context;
  const { model, isPhone } = drawing;
  const { top, bottom } = chart.chartArea;
  const upright = (x: number | null, half: number): LabelBox[] =>
    x === null || x < 0 || x > model.xMax ? [] : [{ left: px(x) - half, right: px(x) + half, top, bottom }];
  const { coalsY } = model;
  const size = coalSizePx(isPhone);
  const coals =
    coalsY === null
      ? []
      : coalPlaces(context).map(({ x, level }): LabelBox => {
          const at = py(coalsY) - 3 - level * (size + 1.5);
          return { left: x - size / 2, right: x + size / 2, top: at - size, bottom: at };
        });
  return [
    ...upright(0, isPhone ? 4 : 8),
    ...upright(model.gateX, 4),
    ...upright(model.serveX, 4),
    ...coals,
    ...model.levels.map(({ y }) => ({
      left: chart.chartArea.left,
      right: chart.chartArea.right,
      top: py(y) - 3,
      bottom: py(y) + 3,
    })),
    ...model.checks.map(({ x, y }) => ({
      left: px(x) - size,
      right: px(x) + size,
      top: py(y) - size,
      bottom: py(y) + size,
    })),
  ];
}

function curvePoints({ drawing, px, py }: Context): { x: number; y: number }[] {
  const { line: history, curves } = drawing.model;
  return [...history, ...curves.flatMap(({ points }) => points)]
    .filter(({ y }) => Number.isFinite(y))
    .map(({ x, y }) => ({ x: px(x), y: py(y) }));
}

/** Beside the post on either side, then at the edges and beside gate and pole; above the line and below it. */
function levelPlaces(context: Context, { y, text, kind }: Level): [Placed, ...Placed[]] {
  const { chart, drawing, px, py } = context;
  const { left, right } = chart.chartArea;
  const at = py(y);
  const post = drawing.isPhone ? 8 : 14;
  const sides = (['bottom', 'top'] as const).map((baseline) => ({
    baseline,
    y: baseline === 'top' ? at + 8 : at - 8,
  }));
  if (kind === 'limit') sides.reverse();
  const beside = (x: number | null): { x: number; align: CanvasTextAlign }[] =>
    x === null ? [] : [{ x: px(x) + post, align: 'left' }];
  const spots: { x: number; align: CanvasTextAlign }[] = [
    { x: left + 8, align: 'left' },
    { x: px(0) - post, align: 'right' },
    { x: right - 8, align: 'right' },
    ...beside(0),
    ...beside(drawing.model.gateX),
    ...beside(drawing.model.serveX),
  ];
  const label = { text, isStrong: true };
  const [first, ...others] = sides.flatMap((side) =>
    spots.map((spot) => placed(context, { ...label, ...side, ...spot })),
  );
  return [first ?? placed(context, { ...label, x: left + 8, y: at, align: 'left' }), ...others];
}

/** Left of the gate, right of it, or right of the serving pole. */
function gatePlaces(context: Context): [Placed, ...Placed[]] | null {
  const { chart, drawing, px } = context;
  const { model, isPhone, gateText } = drawing;
  const { gateX, serveX } = model;
  if (gateX === null || gateX <= 0 || gateX > model.xMax || !isGateDrawn(model)) return null;
  const low = chart.chartArea.bottom - (isPhone ? 24 : 46);
  const high = low - (isPhone ? 58 : 96);
  const at = (x: number, align: CanvasTextAlign, y: number): Placed =>
    placed(context, { text: gateText, x, y, align, baseline: 'top', isStrong: true });
  const left = px(gateX) - 10;
  const right = px(gateX) + 8;
  const beyond = px(serveX ?? gateX) + 9;
  return [at(left, 'right', low), at(right, 'left', high), at(beyond, 'left', high), at(left, 'right', high)];
}

function nowPlaces(context: Context): [Placed, ...Placed[]] | null {
  const { drawing, px, py } = context;
  const { model, isPhone } = drawing;
  if (model.now === null) return null;
  const y = py(model.now.y);
  const gap = isPhone ? 12 : 24;
  const at = (align: CanvasTextAlign, baseline: CanvasTextBaseline): Placed =>
    placed(context, {
      text: `${degText(model.now?.y ?? null)}${model.nowMark}`,
      x: px(0) + (align === 'right' ? -gap : gap),
      y: baseline === 'top' ? y + 10 : y - 10,
      align,
      baseline,
      sizePx: isPhone ? 22 : 44,
    });
  return [at('right', 'bottom'), at('right', 'top'), at('left', 'top'), at('left', 'bottom')];
}
