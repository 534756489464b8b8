import { CLOSED_FORMS, closedFormCooks } from './closed-form.ts';
import { simulateCooks } from './cooks.ts';
import type { Cook } from './cooks.ts';
import { measureAll } from './measure.ts';
import type { Figures } from './measure.ts';

/** No constant of the estimator was chosen on these seeds. */
const FIRST_SEED = 20_001;
const COOKS = 80;

export type Corpus = { name: string; cooks: number; figures: Figures[] };

function corpusOf(name: string, cooks: readonly Cook[]): Corpus {
  return { name, cooks: cooks.length, figures: measureAll(cooks) };
}

/** Everything that the accuracy figures are taken from: layer-model cooks on a burning fire, and the closed forms. */
export function measureCorpora(): { layers: Corpus; closed: Corpus } {
  return {
    layers: corpusOf(`${COOKS} cooks of the layer model`, simulateCooks(FIRST_SEED, COOKS)),
    closed: corpusOf(`${CLOSED_FORMS.length} closed forms`, closedFormCooks()),
  };
}
