import type { RefObject } from 'preact';
import { useLayoutEffect } from 'preact/hooks';

/** The greatest height, px, at which a list ends between two rows; at least its first row is whole. Pure. */
export function wholeRowsPx(bottomsPx: readonly number[], roomPx: number): number {
  const fitting = bottomsPx.filter((bottomPx) => bottomPx <= roomPx);
  return Math.max(...fitting, bottomsPx[0] ?? 0);
}

/** Ends a list that scrolls between two rows, so that none is cut in half; what is left over stays empty. */
export function useWholeRows(list: RefObject<HTMLElement | null>): void {
  useLayoutEffect(() => {
    const box = list.current;
    if (box === null) return;
    box.style.marginBottom = '';
    const { top } = box.getBoundingClientRect();
    const bottomsPx = [...box.children].map(
      (row) => row.getBoundingClientRect().bottom - top + box.scrollTop,
    );
    if (box.scrollHeight <= box.clientHeight) return;
    box.style.marginBottom = `${Math.max(0, box.offsetHeight - wholeRowsPx(bottomsPx, box.offsetHeight))}px`;
  });
}
