import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Problem } from '../../../server/contract/api.ts';
import type { Place } from '../../../server/contract/cookout.ts';
import { problemText } from '../../api-client.ts';
import { Confirm } from '../../form/form-frame.tsx';
import { HEAT_WORDS, PLACE_KIND_WORDS } from '../../food-words.ts';
import type { SectionProps } from './dishes-section.tsx';
import { PlaceForm } from './place-form.tsx';
import { remove } from './save.ts';

type Open = { kind: 'nothing' } | { kind: 'new' } | { kind: 'place'; placeId: string };

function placeFacts(place: Place): string {
  const kind = PLACE_KIND_WORDS[place.kind];
  const heat = place.heat === null ? '' : `, ${HEAT_WORDS[place.heat].toLowerCase()}`;
  const litres = place.litres === null ? '' : `, ${place.litres} litres`;
  const probes = place.sensorIds.length === 0 ? ', no probe' : `, probe ${place.sensorIds.join(', ')}`;
  return `${kind}${heat}${litres}${probes}`;
}

type CardProps = { place: Place; onChange: () => void; onDelete: () => void };

function PlaceCard({ place, onChange, onDelete }: CardProps): JSX.Element {
  return (
    <>
      <h2 class="pg-name">
        {place.name} <small>{place.short}</small>
      </h2>
      <p>{placeFacts(place)}</p>
      <div class="pg-acts">
        <button type="button" aria-label={`Change ${place.name}`} onClick={onChange}>
          Change
        </button>
        <Confirm
          words="Delete"
          question={`Delete ${place.name}?`}
          confirmWords="Delete it"
          keepWords="Keep it"
          onConfirm={onDelete}
        />
      </div>
    </>
  );
}

export function PlacesSection({ detail, sensors, reload }: SectionProps): JSX.Element {
  const [open, show] = useState<Open>({ kind: 'nothing' });
  const [problem, setProblem] = useState<Problem | null>(null);
  const close = (): void => show({ kind: 'nothing' });
  const take = async (path: string): Promise<void> => {
    setProblem(await remove(path));
    await reload();
  };
  const formOf = (place: Place | null): JSX.Element => (
    <PlaceForm
      cookoutId={detail.cookout.id}
      place={place}
      sensors={sensors}
      onSaved={() => {
        close();
        void reload();
      }}
      onCancel={close}
    />
  );
  return (
    <section aria-label="Places">
      <div role="alert">{problem === null ? null : <p class="pg-trouble">{problemText(problem)}</p>}</div>
      <ul class="pg-cards">
        {detail.places.map((place) => (
          <li class="pg-card" key={place.id}>
            {open.kind === 'place' && open.placeId === place.id ? (
              formOf(place)
            ) : (
              <PlaceCard
                place={place}
                onChange={() => show({ kind: 'place', placeId: place.id })}
                onDelete={() => void take(`/api/places/${place.id}`)}
              />
            )}
          </li>
        ))}
      </ul>
      {open.kind === 'new' ? (
        formOf(null)
      ) : (
        <button type="button" class="pg-add" onClick={() => show({ kind: 'new' })}>
          Add a place
        </button>
      )}
    </section>
  );
}
