import type { Corpus } from './corpus.ts';

/**
 * What the forecast must not fall behind, per share of the cook: today's figures rounded up. Median and 90 % error of
 * the remaining time and the mean CRPS, as shares of the whole cook; `inside` = bounds of the share of cooks inside
 * the 10 % to 90 % range (binomial 95 % band about 0.8 for 80 cooks is 0.71 to 0.89; one that is a little wide is let
 * pass up to 0.93).
 */
type Ceiling = { progress: number; medianError: number; p90Error: number; meanCrps: number };

const LAYERS: readonly Ceiling[] = [
  { progress: 0.25, medianError: 0.145, p90Error: 0.32, meanCrps: 0.125 },
  { progress: 0.4, medianError: 0.07, p90Error: 0.24, meanCrps: 0.077 },
  { progress: 0.55, medianError: 0.056, p90Error: 0.15, meanCrps: 0.06 },
  { progress: 0.7, medianError: 0.034, p90Error: 0.1, meanCrps: 0.037 },
  { progress: 0.85, medianError: 0.015, p90Error: 0.034, meanCrps: 0.014 },
];
const CLOSED: readonly Ceiling[] = [
  { progress: 0.4, medianError: 0.145, p90Error: 0.185, meanCrps: 0.085 },
  { progress: 0.55, medianError: 0.06, p90Error: 0.083, meanCrps: 0.039 },
  { progress: 0.7, medianError: 0.026, p90Error: 0.037, meanCrps: 0.018 },
  { progress: 0.85, medianError: 0.009, p90Error: 0.012, meanCrps: 0.007 },
];
const INSIDE = { least: 0.71, most: 0.93 };
const CLOCK = { medianError: 0.22, inside: { least: 0.71, most: 0.95 } };
/** Share of the asked moments at which the curve has to say something, from 40 % of the cook on. */
const ANSWERED = 0.95;

function shortfalls(corpus: Corpus, ceilings: readonly Ceiling[]): string[] {
  return ceilings.flatMap((ceiling) => {
    const row = corpus.figures.find(
      ({ method, progress }) => method === 'curve' && progress === ceiling.progress,
    );
    if (!row) return [`${corpus.name}: nothing measured at ${ceiling.progress}`];
    const names = ['medianError', 'p90Error', 'meanCrps'] as const;
    const over = names.filter((name) => !(row[name] <= ceiling[name]));
    const words = over.map(
      (name) =>
        `${corpus.name} at ${ceiling.progress}: ${name} ${row[name].toFixed(4)} above ${ceiling[name]}`,
    );
    if (ceiling.progress >= 0.4 && !(row.answered >= ANSWERED * row.asked)) {
      words.push(`${corpus.name} at ${ceiling.progress}: answered ${row.answered} of ${row.asked}`);
    }
    return words;
  });
}

/** At every share of the cook the curve's CRPS has to be below both baselines'. */
function lostToBaselines(corpus: Corpus): string[] {
  return corpus.figures
    .filter(({ method }) => method === 'line' || method === 'exponential')
    .flatMap((baseline) => {
      const curve = corpus.figures.find((f) => f.method === 'curve' && f.progress === baseline.progress);
      return curve && curve.meanCrps < baseline.meanCrps
        ? []
        : [`${corpus.name} at ${baseline.progress}: the curve does not beat the ${baseline.method}`];
    });
}

function badCoverage(corpus: Corpus): string[] {
  return corpus.figures.flatMap(({ method, progress, coverage }) => {
    if (coverage === null) return [];
    const { least, most } = method === 'clock' ? CLOCK.inside : INSIDE;
    return coverage >= least && coverage <= most
      ? []
      : [
          `${corpus.name} at ${progress}: ${method} holds ${coverage.toFixed(3)}, expected ${least} to ${most}`,
        ];
  });
}

function clockShortfall(corpus: Corpus): string[] {
  const clock = corpus.figures.find(({ method }) => method === 'clock');
  return clock && clock.medianError <= CLOCK.medianError
    ? []
    : [`${corpus.name}: clock alone errs by ${clock?.medianError ?? Number.NaN}, above ${CLOCK.medianError}`];
}

/** Every ceiling that is broken, in words; empty when all hold. */
export function brokenCeilings({ layers, closed }: { layers: Corpus; closed: Corpus }): string[] {
  return [
    ...shortfalls(layers, LAYERS),
    ...shortfalls(closed, CLOSED),
    ...lostToBaselines(layers),
    ...badCoverage(layers),
    ...clockShortfall(layers),
  ];
}
