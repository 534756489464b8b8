import { expect, it } from 'vitest';
import { BatchInputSchema, BatchSchema, CookoutSchema } from '../../server/contract/cookout.ts';
import { toBatch, toCookout } from '../../server/store/rows.ts';
import { T0 } from './builders.ts';

it('a name that was stored before such names were refused is shown with a mark, and the cookout can be read', () => {
  const row = {
    id: 'c',
    name: 'Sup\tper',
    time_zone: 'UTC',
    altitude_m: 0,
    rule_set: 'uk',
    guests: 4,
    diets_json: JSON.stringify([{ name: 've\u0000gan', guests: 1 }]),
    serves_json: '[]',
    is_demo: 0,
    created_ms: T0,
    ended_ms: null,
  };
  const cookout = toCookout(row);
  expect([cookout.name, cookout.diets[0]?.name]).toEqual(['Sup\uFFFDper', 've\uFFFDgan']);
  expect(CookoutSchema.safeParse(cookout).success).toBe(true);
});

it('the same holds for the label of a batch, which is refused today', () => {
  const row = {
    id: 'b',
    dish_id: 'd',
    label: '1\u0007st',
    pieces: 4,
    serve_id: null,
    sensor_id: null,
    place_id: null,
    planned_on_ms: null,
    position: 0,
  };
  const batch = toBatch(row);
  expect(batch.label).toBe('1\uFFFDst');
  expect(BatchSchema.safeParse(batch).success).toBe(true);
  expect(BatchInputSchema.safeParse({ label: row.label }).error?.issues[0]?.path).toEqual(['label']);
});
