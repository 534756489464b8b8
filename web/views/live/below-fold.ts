import type { RefObject } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { viewport } from '../../viewport.ts';
import { belowFold } from './layout.ts';

/** The same of a list on the screen, counted again when it scrolls, grows or is resized. */
export function useBelowFold(list: RefObject<HTMLElement | null>, rows: number): number {
  const [below, setBelow] = useState(0);
  const { widthPx, heightPx } = viewport.value;
  useEffect(() => {
    const box = list.current;
    if (box === null) return undefined;
    const count = (): void => {
      const isScrolled = box.scrollHeight > box.clientHeight;
      const bottomsPx = [...box.querySelectorAll<HTMLElement>('.row')].map(
        (row) => row.offsetTop + row.offsetHeight,
      );
      setBelow(
        isScrolled ? belowFold({ scrolledPx: box.scrollTop, shownPx: box.clientHeight, bottomsPx }) : 0,
      );
    };
    count();
    box.addEventListener('scroll', count, { passive: true });
    return () => box.removeEventListener('scroll', count);
  }, [list, rows, widthPx, heightPx]);
  return below;
}
