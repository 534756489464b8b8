import { expect, it } from 'vitest';
import { probeOrder } from '../../web/views/probes/probe-order.ts';
import { MIN_MS, aSensor } from '../support/plans.ts';

it('lists live probes first, keeps silent ones that are in use, and folds away strays of long ago', () => {
  const seat = { kind: 'place', id: 'bag', name: 'Trout bag' } as const;
  const { shown, folded } = probeOrder([
    aSensor({ id: 'stray', assignedTo: null, ageMs: 300 * MIN_MS }),
    aSensor({ id: 'used', assignedTo: seat, ageMs: 300 * MIN_MS }),
    aSensor({ id: 'just-silent', assignedTo: null, ageMs: 5 * MIN_MS }),
    aSensor({ id: 'never', assignedTo: null, lastValueC: null, ageMs: null }),
    aSensor({ id: 'live', assignedTo: null, ageMs: 1_000 }),
  ]);
  expect(shown.map(({ id }) => id)).toEqual(['live', 'used', 'just-silent']);
  expect(folded.map(({ id }) => id)).toEqual(['stray', 'never']);
});
