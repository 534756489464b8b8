import { useEffect, useRef, useState } from 'preact/hooks';
import type { ComponentChildren, JSX } from 'preact';
import type { Form } from './use-form.ts';

export type FormFrameProps<D> = {
  form: Form<D>;
  title: string;
  saveWords: string;
  onCancel?: () => void;
  /** True when a tap has opened the form, so that it is brought into view. */
  isOpened?: boolean;
  /** True for a passphrase, which nobody would miss and which the server does not take in part. */
  isSecret?: boolean;
  children: ComponentChildren;
};

/** The frame of every form: its title, what went wrong, the fields, and what to do with it. */
export function FormFrame<D>(props: FormFrameProps<D>): JSX.Element {
  const { form, title, saveWords, onCancel, isOpened = false, isSecret = false, children } = props;
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    if (isOpened) heading.current?.focus();
  }, [isOpened]);
  const sentence = troubleText(form, isSecret);
  return (
    <form class="pg-form" noValidate ref={form.ref} onSubmit={form.submit} aria-label={title}>
      <h2 ref={heading} tabIndex={-1}>
        {title}
      </h2>
      <div role="alert">{sentence === '' ? null : <p class="pg-trouble">{sentence}</p>}</div>
      {children}
      <p class="pg-saved" role="status">
        {form.isSaved ? 'Saved' : ''}
      </p>
      <div class="pg-acts">
        <button type="submit" class="pg-main" aria-disabled={form.isBusy}>
          {form.isBusy ? 'Saving' : saveWords}
        </button>
        {onCancel === undefined ? null : (
          <button
            type="button"
            onClick={() => {
              form.forget();
              onCancel();
            }}
          >
            Cancel
          </button>
        )}
      </div>
    </form>
  );
}

/** What went wrong in one line; a form that is not for a secret adds that the typing is kept. */
export function troubleText(
  { errors, general }: Pick<Form<unknown>, 'errors' | 'general'>,
  isSecret: boolean,
): string {
  const wrong = Object.keys(errors).length;
  const count = wrong === 1 ? 'One field needs another look.' : `${wrong} fields need another look.`;
  const parts = [general, wrong > 0 && !isSecret ? count : null].filter((part) => part !== null);
  if (parts.length === 0) return '';
  return isSecret ? parts.join(' ') : `${parts.join(' ')} Nothing you typed is lost.`;
}

export type ConfirmProps = {
  words: string;
  question: string;
  confirmWords: string;
  keepWords: string;
  onConfirm: () => void;
};

/** Asks once more, in place, before something is taken away. */
export function Confirm({ words, question, confirmWords, keepWords, onConfirm }: ConfirmProps): JSX.Element {
  const [isAsking, setAsking] = useState(false);
  const close = (): void => setAsking(false);
  if (!isAsking)
    return (
      <button type="button" onClick={() => setAsking(true)}>
        {words}
      </button>
    );
  return (
    <div class="pg-confirm" role="group" aria-label={question}>
      <p role="alert">{question}</p>
      <button
        type="button"
        onClick={() => {
          close();
          onConfirm();
        }}
      >
        {confirmWords}
      </button>
      <button type="button" class="pg-main" onClick={close}>
        {keepWords}
      </button>
    </div>
  );
}
