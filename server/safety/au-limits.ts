import type { CoreLimit, HoldLimit, NoCoreLimit, RuleSetLimits, Source } from './limit-types.ts';

/** Standard 3.2.2 clause 7 asks for a process that reduces pathogens to safe levels and gives no number (from memory). */
const INFORMATION_COUNCIL: Source = {
  document: 'Food Safety Information Council (Australia), cooking temperatures',
  clause: 'guidance, not law',
  edition: '2022',
  status: 'read',
};
const STANDARD: Source = {
  document: 'Australia New Zealand Food Standards Code, Standard 3.2.2',
  clause: 'temperature control: 5 °C or colder, or 60 °C or hotter',
  edition: 'FSANZ fact sheet',
  status: 'read',
};

function reach(id: string, tempC: number, afterwards = ''): CoreLimit {
  return {
    rows: [
      {
        id: `au-core-${id}`,
        kind: 'core',
        comparator: '>=',
        tempC,
        holdS: 0,
        native: { value: tempC, unit: 'degC', text: `${String(tempC)} °C${afterwards}` },
        source: INFORMATION_COUNCIL,
      },
    ],
    lethality: null,
  };
}
const hold = (id: string, kind: HoldLimit['kind'], valueC: number): HoldLimit => ({
  id,
  kind,
  comparator: kind === 'max' ? '<=' : '>=',
  valueC,
  native: {
    value: valueC,
    unit: 'degC',
    text: `${String(valueC)} °C or ${kind === 'max' ? 'colder' : 'hotter'}`,
  },
  source: STANDARD,
});

const THOROUGH = reach('75', 75);
/** The rest belongs to the guidance; it is time off the fire, which a core reading cannot show, so the words carry it. */
const WHOLE_CUT = reach('63-rest', 63, ', then rest 3 to 5 min');
const NO_NUMBER: NoCoreLimit = { reason: 'Australian guidance gives no core number for this food.' };

export const AU_LIMITS: RuleSetLimits = {
  cold: hold('au-cold', 'max', 5),
  hot: hold('au-hot', 'min', 60),
  core: {
    beef: WHOLE_CUT,
    lamb: WHOLE_CUT,
    pork: reach('70', 70),
    fish: reach('63', 63),
    'beef-minced': THOROUGH,
    'lamb-minced': THOROUGH,
    'pork-minced': THOROUGH,
    chicken: THOROUGH,
    turkey: THOROUGH,
    /** Leftovers, in the same guidance. */
    stew: THOROUGH,
    vegetable: NO_NUMBER,
    cheese: NO_NUMBER,
  },
};
