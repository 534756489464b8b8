import { forecastCook } from '../../server/estimate/forecast.ts';
import { straightLine } from '../accuracy/baselines.ts';
import { simulateCooks } from '../accuracy/cooks.ts';
import { questionAt } from '../accuracy/measure.ts';
import type { Figure } from './figure.ts';
import { monoMs } from './mono.ts';
import { quantile } from './stats.ts';

const SEED = 20_001;
const COOKS = 20;
const PROGRESS = [0.25, 0.5, 0.75] as const;

/** What one forecast costs, on cooks of the accuracy corpus, the first round left out. */
export function measureForecasts(): Promise<Figure[]> {
  const asks = simulateCooks(SEED, COOKS).flatMap((cook) =>
    PROGRESS.map((progress) => {
      const nowMs = Math.round(cook.onMs + progress * (cook.arrivalMs - cook.onMs));
      const readings = cook.readings.filter(({ atMs }) => atMs <= nowMs);
      return { question: { ...questionAt(cook, nowMs), readings }, targetC: cook.targetC };
    }),
  );
  const timesOf = (work: (ask: (typeof asks)[number]) => unknown): number[] => {
    asks.forEach(work);
    return asks.map((ask) => {
      const startMs = monoMs();
      work(ask);
      return monoMs() - startMs;
    });
  };
  const curve = timesOf(({ question }) => forecastCook(question));
  const line = timesOf(({ question, targetC }) => straightLine(question.readings, targetC));
  const figure = (name: string, share: number): Figure => ({
    part: 'forecast',
    name,
    of: '',
    value: quantile(curve, share),
    unit: 'ms',
    beside: { what: 'ms for a straight line', value: quantile(line, share) },
  });
  return Promise.resolve([
    figure('one forecast, half of them within', 0.5),
    figure('one forecast, 95 % within', 0.95),
  ]);
}
