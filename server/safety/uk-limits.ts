import type { LethalityRule } from './lethality.ts';
import type { CoreLimit, CoreRow, NoCoreLimit, RuleSetLimits, Source } from './limit-types.ts';

const FSA_EQUIVALENTS: Source = {
  document: 'UK Food Standards Agency, time and temperature equivalents for cooking',
  clause: '70 °C for 2 minutes or equivalent',
  edition: 'as quoted in trade courses, 2015',
  status: 'read-second-hand',
};
const ACMSF_MINCE: Source = {
  document: 'UK Advisory Committee on the Microbiological Safety of Food, advice on E. coli in minced meat',
  clause: 'equivalents of 70 °C for 2 minutes',
  edition: 'as quoted in 2015',
  status: 'read-second-hand',
};

function row(tempC: number, hold: { holdS: number; words: string }, source: Source): CoreRow {
  return {
    id: `uk-core-${String(tempC)}-${String(hold.holdS)}`,
    kind: 'core',
    comparator: '>=',
    tempC,
    holdS: hold.holdS,
    native: { value: tempC, unit: 'degC', text: `${String(tempC)} °C for ${hold.words}` },
    source,
  };
}
const TWO_MINUTES_AT_70 = row(70, { holdS: 120, words: '2 min' }, FSA_EQUIVALENTS);
const ABOVE_70 = [
  row(75, { holdS: 30, words: '30 s' }, FSA_EQUIVALENTS),
  row(80, { holdS: 6, words: '6 s' }, FSA_EQUIVALENTS),
];

/**
 * All five rows of the FSA table are one rule: P70 >= 2.0 min with z = 7.5 degC (they give 2.00 to 2.32 min).
 * Counted from the lowest row upward. The fit of z is our own arithmetic on the printed rows.
 */
const FSA_RULE: LethalityRule = { refC: 70, zC: 7.5, zBelowRefC: 7.5, fromC: 60, targetMin: 2 };
/** The rows for minced meat (60 degC 93 min, 65 degC 14 min) are the same rule with z = 6.0 degC; above 70 degC 7.5 is the stricter. */
const MINCE_RULE: LethalityRule = { ...FSA_RULE, zBelowRefC: 6 };

const THOROUGH: CoreLimit = {
  rows: [
    TWO_MINUTES_AT_70,
    row(60, { holdS: 2700, words: '45 min' }, FSA_EQUIVALENTS),
    row(65, { holdS: 600, words: '10 min' }, FSA_EQUIVALENTS),
    ...ABOVE_70,
  ],
  lethality: FSA_RULE,
};
const MINCE: CoreLimit = {
  rows: [
    TWO_MINUTES_AT_70,
    row(60, { holdS: 5580, words: '93 min' }, ACMSF_MINCE),
    row(65, { holdS: 840, words: '14 min' }, ACMSF_MINCE),
    ...ABOVE_70,
  ],
  lethality: MINCE_RULE,
};
/** FSA, Safer Food Better Business, "Cooking safely" (read). */
const WHOLE_CUT: NoCoreLimit = {
  reason:
    'UK guidance gives no core number for whole cuts: the whole outside must be sealed. Not for rolled or skewered meat.',
};
/** From memory: the FSA gives signs (opaque, flakes) and no core number. */
const FISH: NoCoreLimit = { reason: 'UK guidance gives no core number for fish: opaque and flaking.' };
const PLANT: NoCoreLimit = {
  reason: 'UK guidance gives no core number for vegetables: steaming hot throughout.',
};
const CHEESE: NoCoreLimit = { reason: 'UK guidance gives no core number for cheese.' };

export const UK_LIMITS: RuleSetLimits = {
  cold: {
    id: 'uk-cold',
    kind: 'max',
    comparator: '<=',
    valueC: 8,
    native: { value: 8, unit: 'degC', text: '8 °C or colder' },
    source: {
      document: 'Food Safety and Hygiene (England) Regulations (SI 2013/2996)',
      clause: 'Schedule 4, paragraph 2(1): above 8 °C is the offence',
      edition: '2013, as made',
      status: 'read',
    },
  },
  hot: {
    id: 'uk-hot',
    kind: 'min',
    comparator: '>=',
    valueC: 63,
    native: { value: 63, unit: 'degC', text: '63 °C or hotter' },
    source: {
      document: 'Food Hygiene (Wales) Regulations (WSI 2006/31)',
      clause: 'Schedule 4, paragraph 6: below 63 °C is the offence',
      edition: '2006',
      status: 'read',
    },
  },
  core: {
    beef: WHOLE_CUT,
    lamb: WHOLE_CUT,
    'beef-minced': MINCE,
    'lamb-minced': MINCE,
    'pork-minced': MINCE,
    pork: THOROUGH,
    chicken: THOROUGH,
    turkey: THOROUGH,
    fish: FISH,
    vegetable: PLANT,
    cheese: CHEESE,
    /** Reheating as cooking: the same quoted FSA advice. */
    stew: THOROUGH,
  },
};
