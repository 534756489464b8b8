import { signal } from '@preact/signals';

export type Route =
  | { name: 'live' }
  | { name: 'item'; rowId: string }
  | { name: 'holds' }
  | { name: 'plan'; section: string | null }
  | { name: 'probes' }
  | { name: 'found' }
  | { name: 'record'; cookoutId: string }
  | { name: 'records' }
  | { name: 'reach' };

/** Where the browser is. Views take no props: they read their parameters from here. */
export const route = signal<Route>({ name: 'live' });

/** Reads a location hash such as `#/item/row-3`. What nobody knows leads to the live screen. */
export function parseRoute(hash: string): Route {
  const [head, rest] = hash.replace(/^#?\/?/, '').split('/');
  const parameter = rest === undefined || rest === '' ? null : decoded(rest);
  switch (head) {
    case 'item':
      return parameter === null ? { name: 'live' } : { name: 'item', rowId: parameter };
    case 'record':
      return parameter === null ? { name: 'records' } : { name: 'record', cookoutId: parameter };
    case 'plan':
      return { name: 'plan', section: parameter };
    case 'holds':
    case 'probes':
    case 'found':
    case 'records':
    case 'reach':
      return { name: head };
    default:
      return { name: 'live' };
  }
}

/** `path` as after the `#`: `/`, `/item/<rowId>`, `/plan/dishes` ... Parameters must be encoded by the caller. */
export function navigate(path: string): void {
  location.hash = path;
}

export function startRouter(): void {
  const read = (): void => {
    route.value = parseRoute(location.hash);
  };
  addEventListener('hashchange', read);
  read();
}

function decoded(text: string): string | null {
  try {
    return decodeURIComponent(text);
  } catch {
    return null;
  }
}
