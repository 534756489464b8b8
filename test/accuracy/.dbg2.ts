import { forecastCook } from '../../server/estimate/forecast.ts';
import { simulateCooks } from './cooks.ts';
const c=simulateCooks(105,1)[0]!;console.log(c.name,c.thicknessMm,c.zones,c.turnPlan,c.targetC,(c.arrivalMs-c.onMs)/60000,c.events.map(e=>e.step+((e.atMs-c.onMs)/60000).toFixed(1)).join());
console.log(c.readings.filter((_,i)=>i%20===0).map(r=>((r.atMs-c.onMs)/60000).toFixed(1)+':'+r.tempC.toFixed(1)).join(' '));
