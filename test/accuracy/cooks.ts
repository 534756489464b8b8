import type { Food, Heat, Shape, TurnPlan } from '../../server/contract/food.ts';
import type { Reading } from '../../server/contract/reading.ts';
import type { CookEvent } from '../../server/estimate/types.ts';
import { Layers } from './finite-volume.ts';
import type { Body } from './finite-volume.ts';
import { Face, lightFire, scaled, sensorC } from './fire.ts';
import type { Fire, Surroundings } from './fire.ts';
import { seeded } from './seeded.ts';
import type { Seeded } from './seeded.ts';

/** One invented cook, simulated to its end. Times in epoch ms from a fixed evening. */
export type Cook = {
  name: string;
  food: Food;
  shape: Shape;
  thicknessMm: number;
  targetC: number;
  turnPlan: TurnPlan;
  onMs: number;
  zones: readonly { fromMs: number; zone: Heat; sensorC: number }[];
  events: readonly CookEvent[];
  readings: readonly Reading[];
  /** When the probe's place truly reached the target. */
  arrivalMs: number;
};

type Kind = {
  food: Food;
  shape: Shape;
  mm: readonly [number, number];
  targets: readonly number[];
  zones: readonly Heat[];
  turns: readonly TurnPlan['kind'][];
};

const KINDS: readonly Kind[] = [
  {
    food: 'chicken',
    shape: 'slab',
    mm: [18, 38],
    targets: [74, 75],
    zones: ['hot', 'medium', 'gentle'],
    turns: ['every', 'once'],
  },
  {
    food: 'beef-minced',
    shape: 'slab',
    mm: [14, 26],
    targets: [70, 71, 75],
    zones: ['hot', 'medium'],
    turns: ['once', 'every'],
  },
  {
    food: 'beef',
    shape: 'slab',
    mm: [20, 45],
    targets: [54, 60],
    zones: ['hot', 'medium', 'gentle'],
    turns: ['once', 'every'],
  },
  {
    food: 'lamb-minced',
    shape: 'cylinder',
    mm: [22, 36],
    targets: [70, 75],
    zones: ['hot', 'medium'],
    turns: ['every'],
  },
  {
    food: 'pork',
    shape: 'slab',
    mm: [20, 40],
    targets: [63, 70],
    zones: ['medium', 'gentle'],
    turns: ['once', 'every'],
  },
  {
    food: 'pork-minced',
    shape: 'cylinder',
    mm: [24, 36],
    targets: [71, 75],
    zones: ['medium', 'gentle'],
    turns: ['every'],
  },
  {
    food: 'fish',
    shape: 'slab',
    mm: [20, 45],
    targets: [55, 63],
    zones: ['medium', 'gentle', 'indirect'],
    turns: ['once', 'none'],
  },
  { food: 'pork', shape: 'cylinder', mm: [60, 110], targets: [63, 70], zones: ['indirect'], turns: ['none'] },
  {
    food: 'beef',
    shape: 'cylinder',
    mm: [60, 110],
    targets: [52, 57],
    zones: ['indirect', 'gentle'],
    turns: ['none', 'every'],
  },
  { food: 'turkey', shape: 'sphere', mm: [70, 120], targets: [72, 74], zones: ['indirect'], turns: ['none'] },
];

const EVENING_MS = Date.UTC(2031, 8, 20, 16, 0, 0);
const LONGEST_S = 7 * 3600;

type Setting = {
  kind: Kind;
  body: Body;
  startC: number;
  targetC: number;
  turnPlan: TurnPlan;
  zone: Heat;
  laterZone: Heat | null;
  isLidClosed: boolean;
  fires: { first: Fire; later: Fire };
  fadeS: number;
  wet: { start: number; crust: number; storeKgM2: number };
  placeM: number;
  probe: { lagS: number; noiseC: number; stepC: number; everyS: number };
  wander: (atS: number) => number;
};

function wandering(rng: Seeded): (atS: number) => number {
  const factors: number[] = [0];
  for (let i = 1; i < LONGEST_S / 60; i += 1) factors.push(0.9 * factors[i - 1]! + rng.normal(0, 0.035));
  return (atS) => 1 + factors[Math.min(Math.floor(atS / 60), factors.length - 1)]!;
}

function settingOf(rng: Seeded): Setting {
  const kind = rng.pick(KINDS);
  const sizeM = rng.between(...kind.mm) / 1000;
  const zone = rng.pick(kind.zones);
  const turn = rng.pick(kind.turns);
  const isLidClosed = zone === 'indirect' || rng.chance(0.5);
  const mayMove = zone === 'hot' || zone === 'medium';
  const laterZone: Heat | null = mayMove && rng.chance(0.3) ? 'gentle' : null;
  const wetStart = Math.exp(rng.between(Math.log(0.05), Math.log(0.5)));
  const fromCentre = rng.normal(0, 0.05) * sizeM;
  return {
    kind,
    body: {
      shape: kind.shape,
      sizeM,
      conductivityWmK: rng.normal(0.45, 0.04),
      kRisePerC: rng.between(0.0005, 0.002),
      heatCapacityJm3K: rng.between(3.3e6, 3.75e6),
    },
    startC: rng.between(3, 12),
    targetC: rng.pick(kind.targets),
    turnPlan: turn === 'every' ? { kind: 'every', seconds: rng.pick([60, 120, 180, 240]) } : { kind: turn },
    zone,
    laterZone,
    isLidClosed,
    fires: {
      first: lightFire(zone, isLidClosed, rng),
      later: lightFire(laterZone ?? zone, isLidClosed, rng),
    },
    fadeS: rng.chance(0.35) ? 1e9 : rng.between(70, 240) * 60,
    wet: { start: wetStart, crust: wetStart * rng.between(0.05, 0.4), storeKgM2: rng.between(0.1, 0.6) },
    placeM: kind.shape === 'slab' ? sizeM / 2 + fromCentre : Math.abs(fromCentre),
    probe: {
      lagS: rng.between(3, 10),
      noiseC: rng.pick([0.05, 0.15, 0.3]),
      stepC: rng.pick([0.1, 0.1, 0.5, 1]),
      everyS: rng.pick([2, 5, 10]),
    },
    wander: wandering(rng),
  };
}

type Deed = { atS: number; step: CookEvent['step'] };
type Trace = { arrivalS: number; cores: { atS: number; tempC: number }[] };

function run(setting: Setting, deeds: readonly Deed[]): Trace | null {
  const layers = new Layers(setting.body, setting.startC);
  const faces: [Face, Face] = [new Face(setting.wet), new Face(setting.wet)];
  const dtS = setting.body.sizeM > 0.05 ? 2 : 1;
  const cores: Trace['cores'] = [];
  let [isMoved, isOpen, isOver] = [false, false, false];
  let next = 0;
  for (let atS = 0; atS < LONGEST_S; atS += dtS) {
    for (; next < deeds.length && deeds[next]!.atS <= atS; next += 1) {
      const { step } = deeds[next]!;
      if (step === 'turned') {
        if (setting.body.shape === 'slab') {
          layers.turn();
          faces.reverse();
          isOver = !isOver;
        }
      } else if (step === 'moved') isMoved = true;
      else isOpen = step === 'lid-opened';
    }
    const fire = isMoved ? setting.fires.later : setting.fires.first;
    const factor = setting.wander(atS) * Math.exp(-atS / setting.fadeS);
    const below = scaled(fire.below, factor);
    const above = isOpen ? fire.aboveOpen : scaled(fire.above, setting.isLidClosed ? factor : 1);
    const around = (face: 0 | 1): Surroundings => (face === 0 ? below : above);
    layers.step(dtS, (face, surfaceC) =>
      setting.body.shape === 'slab'
        ? faces[face].netWm2(surfaceC, around(face))
        : (faces[0].netWm2(surfaceC, below) + faces[0].netWm2(surfaceC, above)) / 2,
    );
    faces[0].pass(dtS, layers.surfaceC[0], below);
    faces[1].pass(dtS, layers.surfaceC[1], above);
    const placeM = isOver ? setting.body.sizeM - setting.placeM : setting.placeM;
    const tempC = layers.at(placeM);
    cores.push({ atS: atS + dtS, tempC });
    if (tempC >= setting.targetC) return { arrivalS: atS + dtS, cores };
  }
  return null;
}

function deedsFor(setting: Setting, wholeS: number, rng: Seeded): Deed[] {
  const deeds: Deed[] = [];
  if (setting.turnPlan.kind === 'once') deeds.push({ atS: wholeS * rng.between(0.38, 0.6), step: 'turned' });
  if (setting.turnPlan.kind === 'every') {
    const { seconds } = setting.turnPlan;
    for (let atS = seconds; atS < 3 * wholeS; atS += seconds * rng.between(0.75, 1.3))
      deeds.push({ atS, step: 'turned' });
  }
  if (setting.laterZone) deeds.push({ atS: wholeS * rng.between(0.25, 0.65), step: 'moved' });
  if (setting.isLidClosed && rng.chance(0.35)) {
    const atS = wholeS * rng.between(0.2, 0.8);
    deeds.push({ atS, step: 'lid-opened' }, { atS: atS + rng.between(15, 90), step: 'lid-closed' });
  }
  return deeds.sort((a, b) => a.atS - b.atS);
}

function readingsOf(setting: Setting, trace: Trace, rng: Seeded): Reading[] {
  const { lagS, noiseC, stepC, everyS } = setting.probe;
  const readings: Reading[] = [];
  let shown = setting.startC;
  let lastS = 0;
  let nextS = 0;
  for (const { atS, tempC } of trace.cores) {
    shown += (tempC - shown) * (1 - Math.exp(-(atS - lastS) / lagS));
    lastS = atS;
    if (atS < nextS) continue;
    nextS = atS + everyS;
    const value = Math.round((shown + rng.normal(0, noiseC)) / stepC) * stepC;
    readings.push({ atMs: EVENING_MS + atS * 1000, tempC: value, quality: 1 });
  }
  return readings;
}

function cookOf(seed: number): Cook | null {
  const rng = seeded(seed);
  const setting = settingOf(rng);
  const plain = run(setting, []);
  if (!plain) return null;
  const deeds = deedsFor(setting, plain.arrivalS, rng);
  const trace = run(setting, deeds);
  if (!trace) return null;
  const movedS = deeds.find(({ step }) => step === 'moved')?.atS ?? Number.POSITIVE_INFINITY;
  const zones = [
    { fromMs: EVENING_MS, zone: setting.zone, sensorC: sensorC(setting.fires.first) + rng.normal(0, 20) },
  ];
  if (setting.laterZone && movedS < trace.arrivalS) {
    const shownC = sensorC(setting.fires.later) + rng.normal(0, 20);
    zones.push({ fromMs: EVENING_MS + movedS * 1000, zone: setting.laterZone, sensorC: shownC });
  }
  const events: CookEvent[] = deeds.map(({ atS, step }) => ({
    atMs: Math.round(EVENING_MS + atS * 1000),
    step,
    zone: step === 'moved' ? setting.laterZone : null,
  }));
  return {
    name: `${setting.kind.food}-${seed}`,
    food: setting.kind.food,
    shape: setting.kind.shape,
    thicknessMm: Math.round(setting.body.sizeM * 1000 * rng.between(0.9, 1.1)),
    targetC: setting.targetC,
    turnPlan: setting.turnPlan,
    onMs: EVENING_MS,
    zones,
    events: [{ atMs: EVENING_MS, step: 'on', zone: setting.zone }, ...events],
    readings: readingsOf(setting, trace, rng),
    arrivalMs: EVENING_MS + trace.arrivalS * 1000,
  };
}

/** `count` cooks that reach their target, from consecutive seeds. */
export function simulateCooks(firstSeed: number, count: number): Cook[] {
  const cooks: Cook[] = [];
  for (let seed = firstSeed; cooks.length < count; seed += 1) {
    const cook = cookOf(seed);
    if (cook) cooks.push(cook);
  }
  return cooks;
}
