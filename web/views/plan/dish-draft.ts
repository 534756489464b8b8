import { DishInputSchema } from '../../../server/contract/cookout.ts';
import type { Dish, DishInput } from '../../../server/contract/cookout.ts';
import type { Food, Shape, TurnPlan } from '../../../server/contract/food.ts';
import { check, numberOf, numberOrNull } from '../../form/check.ts';
import type { Checked } from '../../form/check.ts';
import { DISH_DEFAULTS } from './dish-defaults.ts';
import { sentShort } from './short-name.ts';

export type DishDraft = {
  name: string;
  /** Empty while it follows the name. */
  short: string;
  food: Food;
  shape: Shape;
  thicknessMm: string;
  cookBy: 'target' | 'clock';
  targetC: string;
  clockMin: string;
  restMin: string;
  turn: TurnPlan['kind'];
  turnMin: string;
  reserve: boolean;
  heatMin: string;
};

const text = (value: number | null): string => (value === null ? '' : String(value));
const TURN_MIN = '4';
const HEAT_MIN = '35';

/** The fields that a food suggests. */
function suggested(food: Food): Omit<DishDraft, 'name' | 'short' | 'turnMin' | 'heatMin'> {
  const { shape, thicknessMm, targetC, clockMin, restMin, turn, reserve } = DISH_DEFAULTS[food];
  return {
    food,
    shape,
    thicknessMm: text(thicknessMm),
    cookBy: targetC === null ? 'clock' : 'target',
    targetC: text(targetC),
    clockMin: text(clockMin),
    restMin: text(restMin),
    turn,
    reserve,
  };
}

export function newDish(food: Food): DishDraft {
  return { name: '', short: '', turnMin: TURN_MIN, heatMin: HEAT_MIN, ...suggested(food) };
}

/** Another food brings its own suggestions, but never over what the cook has changed. */
export function withFood(draft: DishDraft, food: Food): DishDraft {
  const before = suggested(draft.food);
  const after = suggested(food);
  const pick = <K extends keyof typeof before>(key: K) =>
    draft[key] === before[key] ? after[key] : draft[key];
  return {
    ...draft,
    food,
    shape: pick('shape'),
    thicknessMm: pick('thicknessMm'),
    cookBy: pick('cookBy'),
    targetC: pick('targetC'),
    clockMin: pick('clockMin'),
    restMin: pick('restMin'),
    turn: pick('turn'),
    reserve: pick('reserve'),
  };
}

export function dishDraft(dish: Dish): DishDraft {
  const { turnPlan } = dish;
  return {
    name: dish.name,
    short: dish.short,
    food: dish.food,
    shape: dish.shape,
    thicknessMm: text(dish.thicknessMm),
    cookBy: dish.targetC === null ? 'clock' : 'target',
    targetC: text(dish.targetC),
    clockMin: text(dish.clockMin),
    restMin: text(dish.restMin),
    turn: turnPlan.kind,
    turnMin: turnPlan.kind === 'every' ? text(turnPlan.seconds / 60) : TURN_MIN,
    reserve: dish.reserve,
    heatMin: dish.heatMin === null ? HEAT_MIN : text(dish.heatMin),
  };
}

function turnPlanOf({ turn, turnMin }: DishDraft): TurnPlan {
  switch (turn) {
    case 'none':
      return { kind: 'none' };
    case 'once':
      return { kind: 'once' };
    case 'every':
      return { kind: 'every', seconds: Math.round(numberOf(turnMin) * 60) };
  }
}

const MESSAGES = {
  name: 'Give it a name of 1 to 60 letters.',
  short: 'Give it a short name of 1 to 10 letters.',
  thicknessMm: 'Give millimetres from 3 to 400.',
  targetC: 'Give degrees from -30 to 130.',
  clockMin: 'Give minutes from 0 to 1440.',
  restMin: 'Give minutes from 0 to 1440.',
  turnMin: 'Give minutes from 0.25 to 120.',
  heatMin: 'Give minutes from 0 to 1440.',
};

/** The server speaks of a turn plan, the form of minutes between turns. */
export function dishFieldOf(path: string): string {
  return path.startsWith('turnPlan') ? 'turnMin' : path;
}

export function checkDish(draft: DishDraft): Checked<DishInput> {
  const byTarget = draft.cookBy === 'target';
  return check({
    schema: DishInputSchema,
    candidate: {
      name: draft.name,
      ...sentShort(draft),
      food: draft.food,
      shape: draft.shape,
      thicknessMm: numberOf(draft.thicknessMm),
      targetC: byTarget ? numberOf(draft.targetC) : null,
      // A reserve has its time to heat instead.
      clockMin: byTarget ? null : draft.reserve ? numberOrNull(draft.clockMin) : numberOf(draft.clockMin),
      restMin: numberOf(draft.restMin),
      turnPlan: turnPlanOf(draft),
      reserve: draft.reserve,
      heatMin: draft.reserve ? numberOf(draft.heatMin) : null,
    },
    messages: MESSAGES,
    fieldOf: dishFieldOf,
  });
}
