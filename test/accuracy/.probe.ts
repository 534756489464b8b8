import { simulateCooks } from './cooks.ts';
import { cookDurationMin, forecastCook } from '../../server/estimate/forecast.ts';
const t0=Date.now();const cooks=simulateCooks(1,60);console.log('sim ms',Date.now()-t0);
const lr:number[]=[];
for(const c of cooks){const d=cookDurationMin({...c,zone:c.zones[0]!.zone,startTempC:null});const m=(c.arrivalMs-c.onMs)/60000;lr.push(Math.log(m/d.p50));
console.log(c.name.padEnd(16),c.shape,c.thicknessMm,c.targetC,c.zones.map(z=>z.zone+Math.round(z.sensorC)).join('>'),c.turnPlan.kind,'true',m.toFixed(1),'prior',Object.values(d).map(x=>x.toFixed(1)).join(' '));}
lr.sort((a,b)=>a-b);console.log('ln ratio q',[.1,.25,.5,.75,.9].map(q=>lr[Math.floor(q*lr.length)]!.toFixed(2)));
