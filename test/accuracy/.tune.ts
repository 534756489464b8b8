import { simulateCooks } from './cooks.ts';
import { measure, PROGRESS } from './measure.ts';
const cooks=simulateCooks(Number(process.argv[2]??1),Number(process.argv[3]??100));
const f=(x:number|null)=>x===null?'  -  ':(100*x).toFixed(1).padStart(6);
for(const m of ['curve','clock','line','exponential'] as const){ if(process.argv[4]&&!process.argv[4].includes(m))continue; for(const p of m==='clock'?[0.25]:PROGRESS){const r=measure(cooks,m,p);console.log(m.padEnd(12),p,r.answered+'/'+r.asked,'med',f(r.medianError),'p90',f(r.p90Error),'bias',f(r.bias),'crps',f(r.meanCrps),'cov',f(r.coverage),'width',f(r.medianWidth));}}
