import type { Reading } from '../../server/contract/reading.ts';

/** Two ways to guess without any knowledge of heat. Each answers with one moment (epoch ms) or null for never. */
export type Baseline = (readings: readonly Reading[], targetC: number) => number | null;

type Line = { slope: number; atEnd: number };

function lineThrough(readings: readonly Reading[]): Line {
  const endMs = readings.at(-1)?.atMs ?? 0;
  const n = readings.length;
  const meanT = readings.reduce((sum, { atMs }) => sum + (atMs - endMs), 0) / n;
  const meanY = readings.reduce((sum, { tempC }) => sum + tempC, 0) / n;
  let [up, down] = [0, 0];
  for (const { atMs, tempC } of readings) {
    up += (atMs - endMs - meanT) * (tempC - meanY);
    down += (atMs - endMs - meanT) ** 2;
  }
  const slope = down > 0 ? up / down : 0;
  return { slope, atEnd: meanY - slope * meanT };
}

/** Every reading of the newest share, thinned evenly where there are very many. */
function newestShare(readings: readonly Reading[], share: number): readonly Reading[] {
  const [first, last] = [readings[0], readings.at(-1)];
  if (!first || !last) return [];
  const used = readings.filter(({ atMs }) => atMs >= last.atMs - share * (last.atMs - first.atMs));
  const every = Math.ceil(used.length / 150);
  return used.filter((_, index) => (used.length - 1 - index) % every === 0);
}

/** A straight line through the newest fifth, drawn on to the target. */
export const straightLine: Baseline = (readings, targetC) => {
  const last = readings.at(-1);
  const { slope, atEnd } = lineThrough(newestShare(readings, 0.2));
  return last && slope > 0 ? last.atMs + Math.max(targetC - atEnd, 0) / slope : null;
};

/** T = A - B exp(-t/tau) through the newest 60 %: A from a grid, the rest by least squares of the logarithm. */
export const exponentialFit: Baseline = (readings, targetC) => {
  const used = newestShare(readings, 0.6);
  const last = used.at(-1);
  if (!last) return null;
  const highest = Math.max(...used.map(({ tempC }) => tempC));
  let best = { misfit: Number.POSITIVE_INFINITY, atMs: null as number | null };
  for (let ambientC = highest + 1; ambientC < 500; ambientC += 1 + 0.03 * (ambientC - highest)) {
    const line = lineThrough(used.map((r) => ({ ...r, tempC: Math.log(ambientC - r.tempC) })));
    const misfit = used.reduce((sum, { atMs, tempC }) => {
      const model = ambientC - Math.exp(line.atEnd + line.slope * (atMs - last.atMs));
      return sum + (model - tempC) ** 2;
    }, 0);
    if (!(misfit < best.misfit)) continue;
    const reaches = targetC < ambientC && line.slope < 0;
    best = {
      misfit,
      atMs: reaches ? last.atMs + (Math.log(ambientC - targetC) - line.atEnd) / line.slope : null,
    };
  }
  return best.atMs;
};
