import type { ComponentType, JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { route } from './router.ts';
import type { Route } from './router.ts';
import { LiveView } from './views/live/live-view.tsx';

/** Everything but the live screen is loaded when it is asked for, so that charts and forms cost the live screen nothing. */
const LOADERS: Record<Exclude<Route['name'], 'live'>, () => Promise<ComponentType>> = {
  item: () => import('./views/item/item-view.tsx').then((module) => module.ItemView),
  holds: () => import('./views/holds-view.tsx').then((module) => module.HoldsView),
  plan: () => import('./views/plan/plan-view.tsx').then((module) => module.PlanView),
  probes: () => import('./views/probes/probes-view.tsx').then((module) => module.ProbesView),
  found: () => import('./views/found/found-view.tsx').then((module) => module.FoundView),
  record: () => import('./views/record/record-view.tsx').then((module) => module.RecordView),
  records: () => import('./views/records.tsx').then((module) => module.RecordsView),
  reach: () => import('./views/reach.tsx').then((module) => module.ReachView),
};

export function App(): JSX.Element {
  const { name } = route.value;
  return name === 'live' ? <LiveView /> : <LazyView key={name} load={LOADERS[name]} />;
}

type Loaded = { kind: 'loading' } | { kind: 'failed' } | { kind: 'ready'; View: ComponentType };

function LazyView({ load }: { load: () => Promise<ComponentType> }): JSX.Element {
  const [loaded, setLoaded] = useState<Loaded>({ kind: 'loading' });
  useEffect(() => {
    const start = (): void => {
      load().then(
        (View) => setLoaded({ kind: 'ready', View }),
        () => setLoaded({ kind: 'failed' }),
      );
    };
    start();
  }, [load]);
  switch (loaded.kind) {
    case 'ready':
      return <loaded.View />;
    case 'loading':
      return (
        <p class="vh" role="status">
          Loading
        </p>
      );
    case 'failed':
      return (
        <main class="notice">
          <h1>No link to the server</h1>
          <p>This page could not be loaded.</p>
          <a href="#/">Back to live</a>
        </main>
      );
  }
}
