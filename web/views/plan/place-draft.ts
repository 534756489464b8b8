import { PlaceInputSchema } from '../../../server/contract/cookout.ts';
import type { Place, PlaceInput, PlaceKind } from '../../../server/contract/cookout.ts';
import type { Heat } from '../../../server/contract/food.ts';
import { check, numberOrNull } from '../../form/check.ts';
import type { Checked } from '../../form/check.ts';
import { sentShort } from './short-name.ts';

export type PlaceDraft = {
  kind: PlaceKind;
  name: string;
  short: string;
  heat: Heat;
  litres: string;
  sensorIds: readonly string[];
};

/** What a new plan starts with, so that dishes have somewhere to go. */
export const FIRST_PLACES: readonly PlaceInput[] = [
  { kind: 'zone', name: 'Hot side', short: 'Hot', heat: 'hot' },
  { kind: 'zone', name: 'Middle', short: 'Middle', heat: 'medium' },
  { kind: 'zone', name: 'Gentle side', short: 'Gentle', heat: 'gentle' },
  { kind: 'cooler', name: 'Cooler bag', short: 'Cooler' },
];

export function newPlace(kind: PlaceKind): PlaceDraft {
  return { kind, name: '', short: '', heat: 'hot', litres: '', sensorIds: [] };
}

export function placeDraft(place: Place): PlaceDraft {
  return {
    kind: place.kind,
    name: place.name,
    short: place.short,
    heat: place.heat ?? 'hot',
    litres: place.litres === null ? '' : String(place.litres),
    sensorIds: place.sensorIds,
  };
}

const MESSAGES = {
  name: 'Give it a name of 1 to 60 letters.',
  short: 'Give it a short name of 1 to 10 letters.',
  litres: 'Give litres above 0, up to 2000, or leave it empty.',
  sensorIds: 'At most eight probes.',
};

/** Only a part of the grill has a heat; only what is closed has room inside. */
export function checkPlace(draft: PlaceDraft): Checked<PlaceInput> {
  return check({
    schema: PlaceInputSchema,
    candidate: {
      kind: draft.kind,
      name: draft.name,
      ...sentShort(draft),
      heat: draft.kind === 'zone' ? draft.heat : null,
      litres: hasRoom(draft.kind) ? numberOrNull(draft.litres) : null,
      sensorIds: [...draft.sensorIds],
    },
    messages: MESSAGES,
  });
}

export function hasRoom(kind: PlaceKind): boolean {
  return kind === 'cooler' || kind === 'pot';
}
