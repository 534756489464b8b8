import { forecastCook, forecastByClock } from '../../server/estimate/forecast.ts';
import { simulateCooks } from './cooks.ts';
const R=Array.from({length:2160},(_,i)=>({atMs:i*5000,tempC:Math.round((5+88*(1-Math.exp(-Math.max(i*5-900,0)/9000)))*10)/10,quality:1 as const}));
for(const [sh,mm] of [['cylinder',110],['slab',90]] as const){const q={nowMs:10800e3,food:'pork' as const,shape:sh,thicknessMm:mm,targetC:80,turnPlan:{kind:'every' as const,seconds:300},zone:'indirect' as const,zoneC:140,events:[{atMs:0,step:'on' as const,zone:'hot' as const},{atMs:600e3,step:'moved' as const,zone:'indirect' as const},...Array.from({length:35},(_,i)=>({atMs:300e3*(i+1),step:'turned' as const,zone:null})).filter(e=>e.atMs<10800e3)].sort((a,b)=>a.atMs-b.atMs),readings:R,startTempC:null};
for(let i=0;i<5;i++)forecastCook(q);const t=performance.now();for(let i=0;i<150;i++)forecastCook(q);console.log(sh,(performance.now()-t)/20,'ms');const f=forecastCook(q);console.log(JSON.stringify(f));}



