import { expect, it } from 'vitest';
import { CookoutSchema } from '../../server/contract/cookout.ts';
import { toCookout } from '../../server/store/rows.ts';
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
