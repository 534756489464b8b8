import type { Material } from '../physics/body.ts';
import type { Skin } from '../physics/face.ts';
import type { Scenario, ScenarioBatch, ScenarioDish } from '../scenario.ts';
import { PLACES } from './harvest-places.ts';

/**
 * Conductivity, density and heat of the foods: Choi and Okos 1986 (ASHRAE Handbook, Refrigeration, "Thermal Properties
 * of Foods") for an ordinary composition near 40 degC, parallel and series conductivity averaged for minced lamb;
 * worked from read-second-hand coefficients and rounded.
 */
const CHICKEN: Material = { conductivityWmK: 0.52, densityKgM3: 1050, heatJKgK: 3580 };
const MINCED_LAMB: Material = { conductivityWmK: 0.42, densityKgM3: 1020, heatJKgK: 3330 };
const TROUT: Material = { conductivityWmK: 0.47, densityKgM3: 1040, heatJKgK: 3450 };
const PORK: Material = { conductivityWmK: 0.49, densityKgM3: 1046, heatJKgK: 3540 };

/** How wet the faces are and how long they stay so: assumptions, set so that 6 to 20 % of the mass steams off. */
const CHICKEN_SKIN: Skin = { wetness: 0.35, waterKgM2: 0.3, supplyKgM2S: 0.0011, supplyKgM2: 3 };
const MINCE_SKIN: Skin = { wetness: 0.4, waterKgM2: 0.3, supplyKgM2S: 0.0016, supplyKgM2: 3 };
const FISH_SKIN: Skin = { wetness: 0.3, waterKgM2: 0.25, supplyKgM2S: 0.0009, supplyKgM2: 3 };
/** A salted, rubbed joint: little free water, for hours; then a crust. */
const JOINT_SKIN: Skin = { wetness: 0.16, waterKgM2: 1.2, supplyKgM2S: 0.00028, supplyKgM2: 2.5 };

const DISHES: readonly ScenarioDish[] = [
  {
    key: 'chicken',
    input: {
      name: 'Chicken thighs',
      short: 'Chicken',
      food: 'chicken',
      shape: 'slab',
      thicknessMm: 26,
      targetC: 75,
      restMin: 5,
      turnPlan: { kind: 'every', seconds: 240 },
    },
    pieceKg: 0.13,
    core: { material: CHICKEN, skin: CHICKEN_SKIN, cells: 26, tipOffCentreMm: 1.5 },
  },
  {
    key: 'kofta',
    input: {
      name: 'Lamb kofta',
      short: 'Kofta',
      food: 'lamb-minced',
      shape: 'cylinder',
      thicknessMm: 30,
      targetC: 75,
      restMin: 0,
      turnPlan: { kind: 'every', seconds: 210 },
    },
    pieceKg: 0.09,
    core: { material: MINCED_LAMB, skin: MINCE_SKIN, cells: 16, tipOffCentreMm: 2 },
  },
  {
    key: 'halloumi',
    input: {
      name: 'Halloumi skewers',
      short: 'Halloumi',
      food: 'cheese',
      shape: 'slab',
      thicknessMm: 20,
      clockMin: 8,
      restMin: 0,
      turnPlan: { kind: 'once' },
    },
    pieceKg: 0.12,
    core: null,
  },
  {
    key: 'trout',
    input: {
      name: 'Whole trout',
      short: 'Trout',
      food: 'fish',
      shape: 'slab',
      thicknessMm: 35,
      targetC: 63,
      restMin: 0,
      turnPlan: { kind: 'once' },
    },
    pieceKg: 0.35,
    core: { material: TROUT, skin: FISH_SKIN, cells: 28, tipOffCentreMm: 2 },
  },
  {
    key: 'pork',
    input: {
      name: 'Pork shoulder',
      short: 'Pork',
      food: 'pork',
      shape: 'cylinder',
      thicknessMm: 110,
      targetC: 93,
      restMin: 30,
      turnPlan: { kind: 'none' },
    },
    pieceKg: 2.6,
    core: { material: PORK, skin: JOINT_SKIN, cells: 28, tipOffCentreMm: 4 },
  },
  {
    key: 'stew',
    input: {
      name: 'Bean stew',
      short: 'Stew',
      food: 'stew',
      shape: 'cylinder',
      thicknessMm: 240,
      restMin: 0,
      turnPlan: { kind: 'none' },
      reserve: true,
      heatMin: 35,
    },
    pieceKg: 8,
    core: null,
  },
];

const BATCHES: readonly ScenarioBatch[] = [
  {
    key: 'pork',
    dish: 'pork',
    label: '1st',
    pieces: 1,
    serve: 1,
    sensor: 'core-pork',
    waitsIn: 'raw-meat',
    cooksOn: 'right',
    onMin: -215,
    turnAfterMin: null,
    looks: [
      { atMin: -130, forS: 60 },
      { atMin: -62, forS: 90 },
    ],
  },
  {
    key: 'chicken-1',
    dish: 'chicken',
    label: '1st',
    pieces: 20,
    serve: 0,
    sensor: 'core-chicken',
    waitsIn: 'raw-meat',
    cooksOn: 'middle',
    onMin: -19,
    turnAfterMin: null,
    looks: [],
  },
  {
    key: 'trout',
    dish: 'trout',
    label: '1st',
    pieces: 10,
    serve: 0,
    sensor: 'core-trout',
    waitsIn: 'trout-bag',
    cooksOn: 'middle',
    onMin: -16,
    turnAfterMin: 15,
    looks: [],
  },
  {
    key: 'kofta-1',
    dish: 'kofta',
    label: '1st',
    pieces: 20,
    serve: 0,
    sensor: 'core-kofta',
    waitsIn: 'raw-meat',
    cooksOn: 'left',
    onMin: -6,
    turnAfterMin: null,
    looks: [],
  },
  {
    key: 'halloumi',
    dish: 'halloumi',
    label: '1st',
    pieces: 8,
    serve: 0,
    sensor: null,
    waitsIn: 'stew-box',
    cooksOn: 'left',
    onMin: -3.5,
    turnAfterMin: 4,
    looks: [],
  },
  {
    key: 'chicken-2',
    dish: 'chicken',
    label: '2nd',
    pieces: 18,
    serve: 1,
    sensor: 'core-chicken-2',
    waitsIn: 'raw-meat',
    cooksOn: 'middle',
    onMin: 40,
    turnAfterMin: null,
    looks: [],
  },
  {
    key: 'kofta-2',
    dish: 'kofta',
    label: '2nd',
    pieces: 18,
    serve: 1,
    sensor: 'core-kofta-2',
    waitsIn: 'raw-meat',
    cooksOn: 'left',
    onMin: 55,
    turnAfterMin: null,
    looks: [],
  },
  {
    key: 'stew',
    dish: 'stew',
    label: '1st',
    pieces: 1,
    serve: 1,
    sensor: null,
    waitsIn: 'stew-box',
    cooksOn: null,
    onMin: null,
    turnAfterMin: null,
    looks: [],
  },
];

/** Everything here is invented: the society, its supper, its guests and its food. */
export const HARVEST_SUPPER: Scenario = {
  name: 'harvest-supper',
  cookoutName: 'Harvest supper, Larch Lane Allotments',
  guests: 38,
  diets: [
    { name: 'no meat', guests: 6 },
    { name: 'no gluten', guests: 3 },
  ],
  serveMins: [26, 76],
  startMin: -250,
  endMin: 95,
  liveFromMin: { busy: -2, whole: -30 },
  weather: { ambientC: 21, vapourPa: 1400 },
  places: PLACES,
  dishes: DISHES,
  batches: BATCHES,
  // the trout's probe was forgotten that morning, so that the screen has one that was never checked
  iceReadings: {
    'zone-left': 0.6,
    'zone-middle': -0.4,
    'zone-right': 0.5,
    'bag-raw': 0.1,
    'bag-trout': 0.2,
    'bag-stew': -0.1,
    'pot-barley': 0.3,
    'core-pork': 0.2,
    'core-chicken': -0.2,
    'core-kofta': 0.1,
    'core-chicken-2': 0.3,
    'core-kofta-2': 0,
  },
};
