import { useCallback, useState } from 'preact/hooks';

export type Press = { isBusy: boolean; press: () => void };

/** A button that answers at once by inverting and takes no second tap until the first one is answered. */
export function usePress(act: () => Promise<unknown>, isAllowed: () => boolean = always): Press {
  const [isBusy, setBusy] = useState(false);
  const press = useCallback(() => {
    if (isBusy || !isAllowed()) return;
    setBusy(true);
    void act().finally(() => setBusy(false));
  }, [act, isAllowed, isBusy]);
  return { isBusy, press };
}

function always(): boolean {
  return true;
}
