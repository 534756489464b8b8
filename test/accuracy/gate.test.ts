import { describe, expect, it } from 'vitest';
import { brokenCeilings } from './ceilings.ts';
import { measureCorpora } from './corpus.ts';

describe('accuracy of the cook forecast', () => {
  it('stays under every ceiling and ahead of both baselines', { timeout: 120_000 }, () => {
    const corpora = measureCorpora();
    expect(brokenCeilings(corpora)).toEqual([]);
    // The check itself can fail: a forecast that is twice as far off breaks it.
    const worse = corpora.layers.figures.map((row) => ({ ...row, medianError: 2 * row.medianError }));
    expect(brokenCeilings({ ...corpora, layers: { ...corpora.layers, figures: worse } })).not.toEqual([]);
  });
});
