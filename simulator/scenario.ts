import type { IceReadings } from './probe-checks.ts';
import type { DishInput } from '../server/contract/cookout.ts';
import type { Heat } from '../server/contract/food.ts';
import type { Material } from './physics/body.ts';
import type { CoolerSpec } from './physics/cooler.ts';
import type { Skin } from './physics/face.ts';
import type { Weather, ZoneSpec } from './physics/fire.ts';
import type { PotSpec } from './physics/pot.ts';

/** Minutes count from the scenario's minute zero, its busy moment. */
export type Opening = { atMin: number; forS: number };
export type Silence = { fromMin: number; toMin: number };

type PlaceBase = { key: string; name: string; sensor: string; silences: readonly Silence[] };
export type ZonePlace = PlaceBase & { kind: 'zone'; heat: Heat; fire: ZoneSpec };
export type CoolerPlace = PlaceBase & {
  kind: 'cooler';
  litres: number;
  cooler: CoolerSpec;
  start: { foodC: number; foodKg: number; iceKg: number };
  /** How much warmer than the air its stand is: a car in the sun, a shady wall. */
  sunK: number;
  openings: readonly Opening[];
  /** Share of the probe's tip that is in the food, the rest in the air between. */
  probeInFood: number;
  /** Above this the cook without a screen brings ice after a while. */
  watchC: number;
  iceToAddKg: number;
};
export type PotPlace = PlaceBase & {
  kind: 'pot';
  litres: number;
  pot: PotSpec;
  startC: number;
  openings: readonly Opening[];
};
export type ScenarioPlace = ZonePlace | CoolerPlace | PotPlace;

export type ScenarioDish = {
  key: string;
  input: DishInput;
  pieceKg: number;
  /** Null for a dish without a probe: nobody measures what happens in it. */
  core: { material: Material; skin: Skin; cells: number; tipOffCentreMm: number } | null;
};
export type ScenarioBatch = {
  key: string;
  dish: string;
  label: string;
  pieces: number;
  /** Index of the serving it is for. */
  serve: number | null;
  sensor: string | null;
  waitsIn: string;
  cooksOn: string | null;
  /** When the plan says it goes on. */
  onMin: number | null;
  /** For a dish that is turned once. */
  turnAfterMin: number | null;
  /** When the lid over it is lifted for a look. */
  looks: readonly Opening[];
};
export type Scenario = {
  name: string;
  cookoutName: string;
  guests: number;
  diets: readonly { name: string; guests: number }[];
  serveMins: readonly number[];
  /** The physics begins here, and ends there. */
  startMin: number;
  endMin: number;
  /** Where live time may begin. */
  liveFromMin: { busy: number; whole: number };
  weather: Weather;
  places: readonly ScenarioPlace[];
  dishes: readonly ScenarioDish[];
  batches: readonly ScenarioBatch[];
  iceReadings: IceReadings;
};

export function dishOf(scenario: Scenario, batch: ScenarioBatch): ScenarioDish {
  const dish = scenario.dishes.find(({ key }) => key === batch.dish);
  if (dish === undefined) throw new RangeError(`dish: expected one of the scenario's, got ${batch.dish}`);
  return dish;
}
