import { boundText, ceilingOf, keeps } from './ceilings.ts';
import type { Figure, Part } from './figure.ts';

const DIGITS = 3;

function numberText(value: number): string {
  if (!Number.isFinite(value)) return String(value);
  return Math.abs(value) >= 100
    ? Math.round(value).toLocaleString('en')
    : String(Number(value.toPrecision(DIGITS)));
}

function verdict(figure: Figure): string {
  const ceiling = ceilingOf(figure);
  if (!ceiling) return '';
  return `${boundText(ceiling)}  ${keeps(ceiling, figure.value) ? 'holds' : 'BROKEN'}`;
}

function cells(figure: Figure): string[] {
  const { name, of, value, unit, spread, beside } = figure;
  return [
    of === '' ? name : `${name}, ${of}`,
    `${numberText(value)} ${unit}`.trimEnd(),
    spread ? `${numberText(spread.lowest)} .. ${numberText(spread.highest)}` : '',
    beside ? `${numberText(beside.value)} ${beside.what}` : '',
    verdict(figure),
  ];
}

const HEAD = ['figure', 'median', 'spread', 'beside it', 'bound'];

export function tableOf(part: Part, figures: readonly Figure[]): string {
  const rows = [HEAD, ...figures.filter((f) => f.part === part).map(cells)];
  const widths = HEAD.map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  const lines = rows.map((row) =>
    row
      .map((cell, column) => cell.padEnd(widths[column] ?? 0))
      .join('  ')
      .trimEnd(),
  );
  return [part, ...lines.map((line) => `  ${line}`)].join('\n');
}
