import type { CoreLimit, CoreRow, NoCoreLimit, RuleSetLimits, Source } from './limit-types.ts';

const foodCode = (clause: string, edition: string, status: Source['status']): Source => ({
  document: 'FDA Food Code',
  clause,
  edition,
  status,
});
const INTACT = foodCode('3-401.11(A)(1)', 'as adopted in Minn. R. 4626.0340, 2024', 'read-second-hand');
const NON_INTACT_CHART = foodCode(
  '3-401.11(A)(2), alternatives',
  'as adopted in Minn. R. 4626.0340, 2024',
  'read-second-hand',
);
/** Editions up to 2013 print 15 s. That 2017 took over the 17 s proposed in 2012 is from memory; it is the stricter. */
const NON_INTACT = foodCode('3-401.11(A)(2)', '2017 and later', 'memory');
/** Editions up to 2013 print 15 s for poultry. */
const POULTRY = foodCode('3-401.11(A)(3)', '2017 and later', 'read-second-hand');
const REHEATING = foodCode('3-403.11(A)', 'as adopted in 16 Del. Admin. Code', 'read-second-hand');
const USDA_GROUND: Source = {
  document: 'USDA safe minimum internal temperatures, ground meat',
  clause: 'consumer chart',
  edition: '12 April 2019',
  status: 'read-second-hand',
};

/**
 * Celsius of a printed Fahrenheit number, cut (not rounded) to the hundredth in which readings are kept, so that a probe
 * that shows exactly the printed number passes. The Celsius printed beside it is rounded (155 degF = 68.33, printed 68).
 */
function celsiusOf(degF: number): number {
  return Math.floor(((degF - 32) / 1.8) * 100) / 100;
}

type Printed = { id: string; degF: number; printedC: number; holdS: number; words: string };
function row({ id, degF, printedC, holdS, words }: Printed, source: Source): CoreRow {
  const both = `${String(degF)} °F (${String(printedC)} °C)`;
  return {
    id: `us-core-${id}`,
    kind: 'core',
    comparator: '>=',
    tempC: celsiusOf(degF),
    holdS,
    native: { value: degF, unit: 'degF', text: words === '' ? both : `${both} for ${words}` },
    source,
  };
}

const WHOLE: CoreLimit = {
  rows: [row({ id: '145', degF: 145, printedC: 63, holdS: 15, words: '15 s' }, INTACT)],
  lethality: null,
};
/** The chart prints "<1 s" at 158 degF where a fit of the FSIS beef table gives 11 s; ten seconds is our own floor there. */
const MINCE: CoreLimit = {
  rows: [
    row({ id: '155', degF: 155, printedC: 68, holdS: 17, words: '17 s' }, NON_INTACT),
    row({ id: '150', degF: 150, printedC: 66, holdS: 60, words: '1 min' }, NON_INTACT_CHART),
    row({ id: '145-3', degF: 145, printedC: 63, holdS: 180, words: '3 min' }, NON_INTACT_CHART),
    row({ id: '158', degF: 158, printedC: 70, holdS: 10, words: '10 s' }, NON_INTACT_CHART),
    row({ id: '160', degF: 160, printedC: 71, holdS: 0, words: '' }, USDA_GROUND),
  ],
  lethality: null,
};
const BIRD: CoreLimit = {
  rows: [row({ id: '165', degF: 165, printedC: 74, holdS: 0, words: '' }, POULTRY)],
  lethality: null,
};
const REHEATED: CoreLimit = {
  rows: [row({ id: '165-15', degF: 165, printedC: 74, holdS: 15, words: '15 s' }, REHEATING)],
  lethality: null,
};
/** 3-401.13 asks 135 degF of plant food only where it is cooked for hot holding; the pot's limit covers that. */
const PLANT: NoCoreLimit = {
  reason: 'The FDA Food Code gives no core number for vegetables that are served at once.',
};
const CHEESE: NoCoreLimit = { reason: 'The FDA Food Code gives no core number for cheese.' };

export const US_LIMITS: RuleSetLimits = {
  cold: {
    id: 'us-cold',
    kind: 'max',
    comparator: '<=',
    valueC: 5,
    native: { value: 41, unit: 'degF', text: '41 °F (5 °C) or colder' },
    source: foodCode('3-501.16(A)(2)', 'as adopted in 16 Del. Admin. Code', 'read-second-hand'),
  },
  hot: {
    id: 'us-hot',
    kind: 'min',
    comparator: '>=',
    /** The Code prints both 57 degC and 135 degF (57.22 degC); a reading of either printed number passes. */
    valueC: 57,
    native: { value: 57, unit: 'degC', text: '57 °C (135 °F) or hotter' },
    source: foodCode('3-501.16(A)(1)', 'as adopted in 16 Del. Admin. Code', 'read-second-hand'),
  },
  core: {
    beef: WHOLE,
    lamb: WHOLE,
    pork: WHOLE,
    fish: WHOLE,
    'beef-minced': MINCE,
    'lamb-minced': MINCE,
    'pork-minced': MINCE,
    chicken: BIRD,
    turkey: BIRD,
    stew: REHEATED,
    vegetable: PLANT,
    cheese: CHEESE,
  },
};
