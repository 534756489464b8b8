import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

type DialogProps = { label: string; class: string; onClose: () => void; children: ComponentChildren };

/** A modal sheet: keeps the focus inside, closes with Escape or Close. */
export function Dialog({ label, class: className, onClose, children }: DialogProps): JSX.Element {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} class={`sheet ${className}`} aria-label={label} onClose={onClose}>
      {children}
      <button type="button" class="close" onClick={() => dialog.current?.close()}>
        Close
      </button>
    </dialog>
  );
}
