import type { SensorView } from '../../../server/contract/probe.ts';
import { probeNews } from '../../probe-words.ts';

/** A probe that nothing is watched with and that is silent for longer is folded away. OURS. */
const LONG_AGO_MS = 30 * 60_000;

export type ProbeOrder = { shown: SensorView[]; folded: SensorView[] };

function isLongAgo(sensor: SensorView): boolean {
  if (sensor.assignedTo !== null) return false;
  const news = probeNews(sensor);
  switch (news.kind) {
    case 'live':
    case 'ahead':
    case 'unplugged':
      return false;
    case 'never':
    case 'kept':
      return true;
    case 'old':
    case 'unusable':
      return news.ageMs > LONG_AGO_MS;
  }
}

/** Live ones first, then those that are silent but in use or heard a short while ago; the others apart. Pure. */
export function probeOrder(sensors: readonly SensorView[]): ProbeOrder {
  const folded = sensors.filter(isLongAgo);
  const others = sensors.filter((sensor) => !folded.includes(sensor));
  const live = others.filter((sensor) => probeNews(sensor).kind === 'live');
  return { shown: [...live, ...others.filter((sensor) => !live.includes(sensor))], folded };
}
