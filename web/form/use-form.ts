import { useEffect, useRef, useState } from 'preact/hooks';
import type { RefObject } from 'preact';
import type { Problem } from '../../server/contract/api.ts';
import { isNoLink } from '../api-client.ts';
import { whenHeardAgain } from '../heard-again.ts';
import type { Checked, FieldErrors } from './check.ts';
import { placeProblem } from './problem-fields.ts';

export type FormSetup<D, T> = {
  /** Where drafts outlive the view, so that going to look something up loses nothing. */
  kept: Map<string, D>;
  key: string;
  initial: () => D;
  /** The names of the fields that can show a message of their own. */
  fields: (draft: D) => readonly string[];
  fieldOf?: (path: string) => string;
  check: (draft: D) => Checked<T>;
  /** Answers null when it is saved. */
  save: (value: T, draft: D) => Promise<Problem | null>;
};

export type Form<D> = {
  draft: D;
  errors: FieldErrors;
  general: string | null;
  isBusy: boolean;
  /** True from when it was saved until something is typed again. */
  isSaved: boolean;
  ref: RefObject<HTMLFormElement | null>;
  change: (draft: D, touched: readonly string[]) => void;
  set: (patch: Partial<D>) => void;
  submit: (event: Event) => void;
  forget: () => void;
};

type Trouble = { errors: FieldErrors; general: string | null; isNoLink: boolean };
const NO_TROUBLE: Trouble = { errors: {}, general: null, isNoLink: false };

function without(errors: FieldErrors, touched: readonly string[]): FieldErrors {
  return Object.fromEntries(Object.entries(errors).filter(([field]) => !touched.includes(field)));
}

/** A form whose typing is kept until it is saved or given up, whatever the server answers. */
export function useForm<D extends object, T>(setup: FormSetup<D, T>): Form<D> {
  const { kept, key } = setup;
  const [draft, setDraft] = useState<D>(() => kept.get(key) ?? setup.initial());
  const [trouble, setTrouble] = useState<Trouble>(NO_TROUBLE);
  const [isBusy, setBusy] = useState(false);
  const [isSaved, setSaved] = useState(false);
  const ref = useRef<HTMLFormElement>(null);

  useEffect(() => {
    if (trouble === NO_TROUBLE) return;
    ref.current?.querySelector<HTMLElement>('[aria-invalid="true"], [data-invalid="true"]')?.focus();
  }, [trouble]);
  useEffect(() => (trouble.isNoLink ? whenHeardAgain(() => setTrouble(NO_TROUBLE)) : undefined), [trouble]);

  const change = (next: D, touched: readonly string[]): void => {
    kept.set(key, next);
    setSaved(false);
    setDraft(next);
    const errors = without(trouble.errors, touched);
    if (Object.keys(errors).length < Object.keys(trouble.errors).length) setTrouble({ ...trouble, errors });
  };

  const send = async (value: T): Promise<void> => {
    setBusy(true);
    const problem = await setup.save(value, draft);
    setBusy(false);
    setSaved(problem === null);
    if (problem === null) kept.delete(key);
    else
      setTrouble({
        ...placeProblem(problem, setup.fields(draft), setup.fieldOf),
        isNoLink: isNoLink(problem),
      });
  };

  return {
    draft,
    errors: trouble.errors,
    general: trouble.general,
    isBusy,
    isSaved,
    ref,
    change,
    set: (patch) => {
      change({ ...draft, ...patch }, Object.keys(patch));
    },
    submit: (event) => {
      event.preventDefault();
      if (isBusy) return;
      const checked = setup.check(draft);
      if (checked.ok) {
        setTrouble(NO_TROUBLE);
        void send(checked.value);
      } else setTrouble({ errors: checked.errors, general: null, isNoLink: false });
    },
    forget: () => {
      kept.delete(key);
    },
  };
}
