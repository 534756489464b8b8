import { brokenCeilings } from './ceilings.ts';
import { measureCorpora } from './corpus.ts';
import type { Corpus } from './corpus.ts';
import type { Watched } from './evening.ts';
import type { Figures } from './measure.ts';

const COLUMNS = ['method', 'at', 'answered', 'median', 'p90', 'bias', 'CRPS', 'in 80 %', 'width'] as const;

function percent(share: number | null): string {
  return share === null ? '-' : (100 * share).toFixed(1);
}

function cells(row: Figures): string[] {
  return [
    row.method,
    percent(row.progress),
    `${row.answered}/${row.asked}`,
    ...[row.medianError, row.p90Error, row.bias, row.meanCrps, row.coverage, row.medianWidth].map(percent),
  ];
}

function table({ name, figures }: Corpus): string {
  const rows = [[...COLUMNS], ...figures.map(cells)];
  const widths = COLUMNS.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)));
  const lines = rows.map((row) => row.map((cell, column) => cell.padStart(widths[column]!)).join('  '));
  return [name, ...lines].join('\n');
}

function watchedLine({ name, looks, inside, largestJump }: Watched): string {
  return `${name.padEnd(10)} ${String(looks).padStart(4)} looks  ${percent(inside).padStart(5)}  ${percent(largestJump).padStart(5)}`;
}

const corpora = measureCorpora();
const broken = brokenCeilings(corpora);
console.log(
  [
    'Error of the remaining time as a share of the whole cook, %. Bias above 0 = said too late.',
    'clock: no reading at all, asked when the food goes on. line, exponential: baselines in the same run.',
    '',
    table(corpora.layers),
    '',
    table(corpora.supper),
    '',
    table(corpora.joints),
    '',
    table(corpora.closed),
    '',
    "The demo's evenings watched every 20 s: looks inside the 5 % to 95 % range, %; largest jump of the median, % of the time left.",
    ...corpora.watched.map(watchedLine),
    '',
    broken.length === 0 ? 'Every ceiling holds.' : `Broken:\n${broken.join('\n')}`,
  ].join('\n'),
);
process.exitCode = broken.length === 0 ? 0 : 1;
