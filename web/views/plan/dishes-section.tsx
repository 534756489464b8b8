import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { CookoutDetail, Problem } from '../../../server/contract/api.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import type { Batch, Dish } from '../../../server/contract/cookout.ts';
import { problemText } from '../../api-client.ts';
import { Confirm } from '../../form/form-frame.tsx';
import { clockText } from '../../format/clock.ts';
import { limitText } from '../../format/temperature.ts';
import { FOOD_WORDS } from '../../food-words.ts';
import { BatchForm } from './batch-form.tsx';
import { DishForm } from './dish-form.tsx';
import { remove } from './save.ts';

export type SectionProps = {
  detail: CookoutDetail;
  sensors: readonly SensorView[];
  reload: () => Promise<void>;
};

/** What is being typed at: at most one form is open, where the thing itself stands. */
type Open =
  | { kind: 'nothing' }
  | { kind: 'new-dish' }
  | { kind: 'dish'; dishId: string }
  | { kind: 'new-batch'; dishId: string }
  | { kind: 'batch'; batchId: string };

type Desk = SectionProps & {
  open: Open;
  show: (open: Open) => void;
  take: (path: string) => Promise<void>;
};

function doneFacts({ targetC, clockMin }: Dish): string {
  if (targetC !== null) return `, core ${limitText(targetC)}`;
  return clockMin === null ? '' : `, ${clockMin} min by the clock`;
}

function dishFacts(dish: Dish): string {
  const rest = dish.restMin > 0 ? `, rest ${dish.restMin} min` : '';
  const reserve = dish.reserve ? `, reserve, ${dish.heatMin ?? '?'} min to heat` : '';
  return `${FOOD_WORDS[dish.food]}, ${dish.thicknessMm} mm${doneFacts(dish)}${rest}${reserve}`;
}

function batchFacts(batch: Batch, { cookout, places }: CookoutDetail): string {
  const serve = cookout.serves.find(({ id }) => id === batch.serveId);
  const place = places.find(({ id }) => id === batch.placeId);
  const on =
    batch.plannedOnMs === null
      ? 'on: worked back'
      : `on at ${clockText(batch.plannedOnMs, cookout.timeZone)}`;
  return [
    batch.pieces === 1 ? '1 piece' : `${batch.pieces} pieces`,
    serve === undefined ? 'no serving time' : `for ${clockText(serve.atMs, cookout.timeZone)}`,
    batch.sensorId === null ? 'no probe' : `probe ${batch.sensorId}`,
    place?.name ?? 'no place',
    on,
  ].join(', ');
}

function BatchItem({ batch, dish, desk }: { batch: Batch; dish: Dish; desk: Desk }): JSX.Element {
  const { detail, sensors, open, show, reload } = desk;
  if (open.kind === 'batch' && open.batchId === batch.id)
    return (
      <li>
        <BatchForm
          detail={detail}
          dish={dish}
          batch={batch}
          sensors={sensors}
          onSaved={() => {
            show({ kind: 'nothing' });
            void reload();
          }}
          onCancel={() => show({ kind: 'nothing' })}
        />
      </li>
    );
  return (
    <li class="pg-batch">
      <p>
        <b>{batch.label}</b> {batchFacts(batch, detail)}
      </p>
      <div class="pg-acts">
        <button
          type="button"
          aria-label={`Change ${dish.name}, ${batch.label}`}
          onClick={() => show({ kind: 'batch', batchId: batch.id })}
        >
          Change
        </button>
        <Confirm
          words="Delete"
          question={`Delete ${dish.name}, ${batch.label}?`}
          confirmWords="Delete it"
          keepWords="Keep it"
          onConfirm={() => void desk.take(`/api/batches/${batch.id}`)}
        />
      </div>
    </li>
  );
}

function DishItem({ dish, desk }: { dish: Dish; desk: Desk }): JSX.Element {
  const { detail, sensors, open, show, reload } = desk;
  const batches = detail.batches.filter(({ dishId }) => dishId === dish.id);
  const close = (): void => show({ kind: 'nothing' });
  const saved = (): void => {
    close();
    void reload();
  };
  return (
    <li class="pg-card">
      {open.kind === 'dish' && open.dishId === dish.id ? (
        <DishForm cookoutId={dish.cookoutId} dish={dish} onSaved={saved} onCancel={close} />
      ) : (
        <>
          <h2 class="pg-name">
            {dish.name} <small>{dish.short}</small>
          </h2>
          <p>{dishFacts(dish)}</p>
          <div class="pg-acts">
            <button
              type="button"
              aria-label={`Change ${dish.name}`}
              onClick={() => show({ kind: 'dish', dishId: dish.id })}
            >
              Change
            </button>
            <Confirm
              words="Delete"
              question={
                batches.length === 0 ? `Delete ${dish.name}?` : `Delete ${dish.name} and its batches?`
              }
              confirmWords="Delete it"
              keepWords="Keep it"
              onConfirm={() => void desk.take(`/api/dishes/${dish.id}`)}
            />
          </div>
        </>
      )}
      <ul class="pg-batches" aria-label={`Batches of ${dish.name}`}>
        {batches.map((batch) => (
          <BatchItem key={batch.id} batch={batch} dish={dish} desk={desk} />
        ))}
      </ul>
      {open.kind === 'new-batch' && open.dishId === dish.id ? (
        <BatchForm
          detail={detail}
          dish={dish}
          batch={null}
          sensors={sensors}
          onSaved={saved}
          onCancel={close}
        />
      ) : (
        <button type="button" onClick={() => show({ kind: 'new-batch', dishId: dish.id })}>
          Add a batch of {dish.short}
        </button>
      )}
    </li>
  );
}

export function DishesSection(props: SectionProps): JSX.Element {
  const { detail, reload } = props;
  const [open, show] = useState<Open>(
    detail.dishes.length === 0 ? { kind: 'new-dish' } : { kind: 'nothing' },
  );
  const [problem, setProblem] = useState<Problem | null>(null);
  const take = async (path: string): Promise<void> => {
    setProblem(await remove(path));
    await reload();
  };
  const desk: Desk = { ...props, open, show, take };
  return (
    <section aria-label="Dishes">
      <div role="alert">{problem === null ? null : <p class="pg-trouble">{problemText(problem)}</p>}</div>
      <ul class="pg-cards">
        {detail.dishes.map((dish) => (
          <DishItem key={dish.id} dish={dish} desk={desk} />
        ))}
      </ul>
      {open.kind === 'new-dish' ? (
        <DishForm
          cookoutId={detail.cookout.id}
          dish={null}
          onSaved={(dishId) => {
            // The list first, so that the form of the first batch has its dish to stand under.
            void reload().then(() => show({ kind: 'new-batch', dishId }));
          }}
          {...(detail.dishes.length === 0 ? {} : { onCancel: () => show({ kind: 'nothing' }) })}
        />
      ) : (
        <button type="button" class="pg-add" onClick={() => show({ kind: 'new-dish' })}>
          Add a dish
        </button>
      )}
    </section>
  );
}
