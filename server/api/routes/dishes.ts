import { Router } from 'express';
import { DishInputSchema, DishPatchSchema, type Dish, type DishPatch } from '../../contract/cookout.ts';
import type { ApiDeps } from '../deps.ts';
import { HttpProblem, notFound, parseBody, wrongField } from '../problem.ts';
import { shortNameOf } from '../short-name.ts';

/** A dish is cooked to a core temperature or by the clock; a reserve needs its time to heat. */
function check(dish: Dish): void {
  if (!dish.reserve && dish.targetC === null && dish.clockMin === null) {
    throw wrongField('targetC', 'give a core target, or clockMin for a dish that is cooked by the clock');
  }
  if (dish.reserve && dish.heatMin === null) throw wrongField('heatMin', 'a reserve needs its time to heat');
}

function merge(before: Dish, patch: DishPatch): Dish {
  const name = patch.name ?? before.name;
  return {
    ...before,
    name,
    short: patch.short ?? (patch.name === undefined ? before.short : shortNameOf(name)),
    food: patch.food ?? before.food,
    shape: patch.shape ?? before.shape,
    thicknessMm: patch.thicknessMm ?? before.thicknessMm,
    targetC: patch.targetC === undefined ? before.targetC : patch.targetC,
    clockMin: patch.clockMin === undefined ? before.clockMin : patch.clockMin,
    restMin: patch.restMin ?? before.restMin,
    turnPlan: patch.turnPlan ?? before.turnPlan,
    reserve: patch.reserve ?? before.reserve,
    heatMin: patch.heatMin === undefined ? before.heatMin : patch.heatMin,
  };
}

export function dishRoutes(deps: ApiDeps): Router {
  const { cookouts } = deps;
  const router = Router();

  router.get('/cookouts/:id/dishes', (req, res) => {
    const state = cookouts.get(req.params.id);
    if (!state) throw notFound('cookout');
    res.json(state.dishes);
  });

  router.post('/cookouts/:id/dishes', (req, res) => {
    const state = cookouts.get(req.params.id);
    if (!state) throw notFound('cookout');
    const input = parseBody(DishInputSchema, req.body);
    const empty: Dish = {
      id: deps.newId(),
      cookoutId: state.cookout.id,
      name: input.name,
      short: shortNameOf(input.name),
      food: input.food,
      shape: input.shape,
      thicknessMm: input.thicknessMm,
      targetC: null,
      clockMin: null,
      restMin: 0,
      turnPlan: { kind: 'none' },
      reserve: false,
      heatMin: null,
      order: state.dishes.length,
    };
    const dish = merge(empty, input);
    check(dish);
    cookouts.saveDish(dish);
    deps.live.refresh();
    res.status(201).json(dish);
  });

  router.patch('/dishes/:id', (req, res) => {
    const before = cookouts.dish(req.params.id);
    if (!before) throw notFound('dish');
    const dish = merge(before, parseBody(DishPatchSchema, req.body));
    check(dish);
    cookouts.saveDish(dish);
    deps.live.refresh();
    res.json(dish);
  });

  router.delete('/dishes/:id', (req, res) => {
    const dish = cookouts.dish(req.params.id);
    if (!dish) throw notFound('dish');
    if (cookouts.get(dish.cookoutId)?.batches.some((b) => b.dishId === dish.id) === true) {
      throw new HttpProblem(409, 'The dish still has batches; delete them first');
    }
    cookouts.remove('dish', dish.id);
    deps.live.refresh();
    res.status(204).end();
  });

  return router;
}
