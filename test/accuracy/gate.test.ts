import { describe, expect, it } from 'vitest';
import { brokenCeilings } from './ceilings.ts';
import { measureCorpora } from './corpus.ts';

describe('accuracy of the cook forecast', () => {
  it('stays under every ceiling and ahead of both baselines', { timeout: 240_000 }, () => {
    const corpora = measureCorpora();
    expect(brokenCeilings(corpora)).toEqual([]);
    // The check itself can fail: a forecast that is twice as far off breaks it.
    for (const corpus of ['layers', 'supper'] as const) {
      const worse = corpora[corpus].figures.map((row) => ({ ...row, medianError: 2 * row.medianError }));
      expect(brokenCeilings({ ...corpora, [corpus]: { ...corpora[corpus], figures: worse } })).not.toEqual(
        [],
      );
    }
    const early = corpora.joints.figures.map((row) => ({ ...row, bias: row.bias - 0.15 }));
    expect(brokenCeilings({ ...corpora, joints: { ...corpora.joints, figures: early } })).not.toEqual([]);
    const jumpy = corpora.watched.map((each) => ({ ...each, largestJump: each.largestJump + 0.3 }));
    expect(brokenCeilings({ ...corpora, watched: jumpy })).not.toEqual([]);
  });
});
