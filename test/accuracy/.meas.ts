import { readFileSync } from 'node:fs';
import { forecastCook, cookDurationMin } from '../../server/estimate/forecast.ts';
import { straightLine, exponentialFit } from './baselines.ts';
const D = '/work/shared/data/measured/';
const rows = (f: string) =>
  readFileSync(D + f, 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((l) => l.split(','));
const sets: any[] = [];
sets.push({
  n: 'beefA',
  food: 'beef',
  shape: 'slab',
  mm: 26,
  zone: 'indirect',
  zc: 175,
  tg: 63,
  r: rows('oven-beef-A.csv').map((r) => [+r[0]!, +r[1]!]),
});
for (const y of ['2015', '2016'])
  sets.push({
    n: 'turkey' + y,
    food: 'turkey',
    shape: 'sphere',
    mm: 150,
    zone: 'indirect',
    zc: 190,
    tg: 70,
    r: rows('oven-turkeys.csv')
      .filter((r) => r[0] === y)
      .map((r) => [+r[1]! * 60, +r[3]!]),
  });
sets.push({
  n: 'rib',
  food: 'beef',
  shape: 'cylinder',
  mm: 130,
  zone: 'indirect',
  zc: 93,
  tg: 51,
  r: rows('oven-prime-rib.csv').map((r) => [+r[0]! * 60, +r[2]!]),
});
for (const s of sets) {
  const i = s.r.findIndex((r: any) => r[1] >= s.tg);
  const [a, b] = [s.r[i - 1], s.r[i]];
  const arr = a[0] + ((b[0] - a[0]) * (s.tg - a[1])) / (b[1] - a[1]);
  const base = {
    food: s.food,
    shape: s.shape,
    thicknessMm: s.mm,
    targetC: s.tg,
    turnPlan: { kind: 'none' } as any,
    zone: s.zone,
    startTempC: null,
  };
  console.log(
    s.n,
    'arr min',
    (arr / 60).toFixed(1),
    'prior',
    Object.values(cookDurationMin(base))
      .map((x) => x.toFixed(0))
      .join(' '),
  );
  for (const p of [0.3, 0.5, 0.6, 0.7, 0.85, 0.93]) {
    const now = p * arr * 1000;
    const readings = s.r
      .map((r: any) => ({ atMs: r[0] * 1000, tempC: r[1], quality: 1 }))
      .filter((r: any) => r.atMs <= now);
    const f = forecastCook({
      ...base,
      nowMs: now,
      zoneC: s.zc,
      events: [{ atMs: 0, step: 'on', zone: s.zone }],
      readings,
    });
    const rem = (x: number | null) => (x === null ? 'null' : ((x - now) / (arr * 1000 - now)).toFixed(2));
    if (f.kind === 'eta') {
      const q = f.quantilesMs;
      console.log(
        '  ',
        p,
        'p5',
        rem(q[0]!),
        'p15',
        rem(q[1]!),
        'med',
        rem(((q[4] ?? 1e12) + (q[5] ?? 1e12)) / 2),
        'p85',
        rem(q[8]!),
        'p95',
        rem(q[9]!),
        'line',
        rem(straightLine(readings, s.tg)),
        'exp',
        rem(exponentialFit(readings, s.tg)),
      );
    } else console.log('  ', p, f.reason, f.why);
  }
}
