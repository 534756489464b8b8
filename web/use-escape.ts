import { useEffect } from 'preact/hooks';
import { navigate } from './router.ts';

/** Escape goes back to live, unless a sheet is open: then it closes the sheet. */
export function useEscapeToLive(): void {
  useEffect(() => {
    const listen = (event: KeyboardEvent): void => {
      if (event.key !== 'Escape' || document.querySelector('dialog[open]') !== null) return;
      navigate('/');
    };
    addEventListener('keydown', listen);
    return () => removeEventListener('keydown', listen);
  }, []);
}
