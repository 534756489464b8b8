/** What a reader of the record must know about what it can and cannot show. */
export const CAUTIONS: readonly string[] = [
  'This record is an aid. It does not take the place of a food-safety plan, of training, or of what your local authority asks for.',
  'Each number is one point at one moment. Thick, stuffed, bone-in or moved food can have colder places than the one where the probe sat.',
  'No reading is not a pass. A gap, a silent probe or a failed check says nothing in favour of the food.',
  'Colour, clear juice and charring prove nothing; only a core reading in the thickest part tells.',
  'Minced and rolled meat, sausages, kebabs and liver carry germs through the middle, unlike a whole steak.',
  'Limits differ between countries and editions: the rule set that was chosen is named above.',
  'Reheating does not destroy every poison that grew while food was too warm. If in doubt, throw it out.',
];
