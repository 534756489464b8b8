import { cookDurationMin, forecastByClock } from '../../server/estimate/forecast.ts';
const d = (food: any, shape: any, mm: number, t: number, zone: any, tp: any = { kind: 'once' }) => {
  const r = cookDurationMin({
    food,
    shape,
    thicknessMm: mm,
    targetC: t,
    zone,
    turnPlan: tp,
    startTempC: null,
  });
  console.log(
    food,
    mm,
    t,
    zone,
    tp.kind,
    Object.values(r)
      .map((x: any) => x.toFixed(1))
      .join(' '),
  );
};
d('beef-minced', 'slab', 20, 71, 'hot');
d('beef-minced', 'slab', 15, 71, 'hot');
d('chicken', 'slab', 26, 75, 'hot');
d('lamb-minced', 'cylinder', 30, 75, 'medium', { kind: 'every', seconds: 200 });
d('fish', 'slab', 35, 63, 'medium');
d('pork', 'cylinder', 110, 93, 'indirect', { kind: 'none' });
d('beef', 'slab', 26, 63, null, { kind: 'none' });
d('turkey', 'sphere', 200, 74, 'indirect', { kind: 'none' });
for (const m of [0, 10, 20, 40]) {
  const f = forecastByClock({
    nowMs: m * 60000,
    food: 'chicken',
    shape: 'slab',
    thicknessMm: 26,
    targetC: 75,
    turnPlan: { kind: 'once' },
    zone: 'hot',
    zoneC: null,
    events: [{ atMs: 0, step: 'on', zone: 'hot' }],
    startTempC: null,
    spotCheck: m === 20 ? { atMs: 18 * 60000, tempC: 55 } : null,
  });
  console.log(
    m,
    f.kind === 'eta' ? f.quantilesMs.map((x) => (x === null ? 'null' : (x / 60000).toFixed(1))).join(' ') : f,
  );
}
