import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { topicMatches } from '../../server/ingest/mapping/topic-match.ts';
import { withoutOverlaps } from '../../server/ingest/subscriptions.ts';

const level = fc.constantFrom('a', 'b', 'c', '');
const topic = fc
  .tuple(fc.constantFrom('a', 'b', '$SYS', ''), fc.array(level, { maxLength: 3 }))
  .map(([first, rest]) => [first, ...rest].join('/'))
  .filter((text) => text.length > 0);
const filter = fc
  .tuple(
    fc.constantFrom('a', 'b', '+', '$SYS'),
    fc.array(fc.constantFrom('a', 'b', '+', ''), { maxLength: 2 }),
    fc.boolean(),
  )
  .map(([first, rest, open]) => [first, ...rest, ...(open ? ['#'] : [])].join('/'));

describe('the filters that are subscribed to', () => {
  it('stay as they are when no two match the same topic', () => {
    const filters = ['tongside/reading/#', 'tongside/senml/#', 'kitchen/+/temp', 'yard/a/b'];
    expect(withoutOverlaps(filters)).toEqual(filters);
  });

  it('leave out what another one covers', () => {
    expect(withoutOverlaps(['a/b', 'a/#', 'a/+'])).toEqual(['a/#']);
  });

  it('are widened where two overlap and neither covers the other, as a broker would send two copies', () => {
    expect(withoutOverlaps(['a/+/c', 'a/b/+'])).toEqual(['a/+/+']);
    expect(withoutOverlaps(['a/+/c', 'a/b/#'])).toEqual(['a/+/#']);
  });

  it('never match one topic twice and always match what was asked for', () => {
    fc.assert(
      fc.property(
        fc.array(filter, { maxLength: 6 }),
        fc.array(topic, { maxLength: 20 }),
        (filters, topics) => {
          const set = withoutOverlaps(filters);
          for (const t of topics) {
            const matches = set.filter((f) => topicMatches(f, t)).length;
            expect(matches).toBeLessThanOrEqual(1);
            if (filters.some((f) => topicMatches(f, t))) expect(matches).toBe(1);
          }
        },
      ),
      { numRuns: 3_000 },
    );
  });
});
