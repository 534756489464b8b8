import { useId } from 'preact/hooks';
import type { ComponentChildren, JSX } from 'preact';

type Common = { label: string; hint?: string; error?: string | undefined };

/** A label, a field, a hint and the complaint about it, tied together for screen readers. */
function Labelled({
  label,
  hint,
  error,
  id,
  children,
}: Common & { id: string; children: ComponentChildren }): JSX.Element {
  return (
    <div class={error === undefined ? 'pg-field' : 'pg-field pg-wrong'}>
      <label for={id}>{label}</label>
      {hint === undefined ? null : (
        <p class="pg-hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {children}
      <Complaint id={id} error={error} />
    </div>
  );
}

function Complaint({ id, error }: { id: string; error: string | undefined }): JSX.Element | null {
  if (error === undefined) return null;
  return (
    <p class="pg-complaint" id={`${id}-error`}>
      {error}
    </p>
  );
}

function describedBy(id: string, { hint, error }: Common): string | undefined {
  const ids = [hint === undefined ? '' : `${id}-hint`, error === undefined ? '' : `${id}-error`].filter(
    Boolean,
  );
  return ids.length === 0 ? undefined : ids.join(' ');
}

export type TextFieldProps = Common & {
  value: string;
  onText: (value: string) => void;
  type?: 'text' | 'time' | 'date' | 'password';
  /** Brings up the keys for numbers on a tablet; the text is still read by the form. */
  isNumber?: boolean;
  unit?: string;
  maxLength?: number;
  autoComplete?: 'off' | 'current-password' | 'new-password';
  list?: string;
};

function Input(props: TextFieldProps & { id: string }): JSX.Element {
  const { id, error, value, onText, type = 'text', isNumber = false, maxLength, list } = props;
  const common = {
    id,
    value,
    autoComplete: props.autoComplete ?? 'off',
    'aria-invalid': error === undefined ? undefined : ('true' as const),
    'aria-describedby': describedBy(id, props),
    onInput: (event: { currentTarget: HTMLInputElement }) => {
      onText(event.currentTarget.value);
    },
    ...(isNumber ? { class: 'pg-short', inputMode: 'decimal' as const } : {}),
    ...(maxLength === undefined ? {} : { maxLength }),
  };
  switch (type) {
    case 'text':
      return list === undefined ? (
        <input type="text" {...common} />
      ) : (
        <input type="text" list={list} {...common} />
      );
    case 'password':
      return <input type="password" {...common} />;
    case 'time':
      return <input type="time" {...common} />;
    case 'date':
      return <input type="date" {...common} />;
  }
}

export function TextField(props: TextFieldProps): JSX.Element {
  const id = useId();
  const { label, hint, error, unit } = props;
  return (
    <Labelled label={label} {...(hint === undefined ? {} : { hint })} error={error} id={id}>
      <span class="pg-with-unit">
        <Input {...props} id={id} />
        {unit === undefined ? null : <span class="pg-unit">{unit}</span>}
      </span>
    </Labelled>
  );
}

export type Option<V extends string> = { value: V; words: string };

export type SelectFieldProps<V extends string> = Common & {
  value: V;
  options: readonly Option<V>[];
  onChoice: (value: V) => void;
};

export function SelectField<V extends string>(props: SelectFieldProps<V>): JSX.Element {
  const id = useId();
  const { label, hint, error, value, options, onChoice } = props;
  return (
    <Labelled label={label} {...(hint === undefined ? {} : { hint })} error={error} id={id}>
      <select
        id={id}
        value={value}
        aria-invalid={error === undefined ? undefined : 'true'}
        aria-describedby={describedBy(id, props)}
        onChange={(event) => {
          const chosen = options.find((option) => option.value === event.currentTarget.value);
          if (chosen !== undefined) onChoice(chosen.value);
        }}
      >
        {options.map((option) => (
          <option key={option.value} value={option.value} selected={option.value === value}>
            {option.words}
          </option>
        ))}
      </select>
    </Labelled>
  );
}

/** A few choices, all to be seen at once. */
export function ChoiceField<V extends string>(props: SelectFieldProps<V>): JSX.Element {
  const id = useId();
  const { label, hint, error, value, options, onChoice } = props;
  return (
    <fieldset
      class={error === undefined ? 'pg-field' : 'pg-field pg-wrong'}
      aria-describedby={describedBy(id, props)}
    >
      <legend>{label}</legend>
      {hint === undefined ? null : (
        <p class="pg-hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      <div class="pg-choices">
        {options.map((option) => (
          <label key={option.value} class="pg-choice">
            <input
              type="radio"
              name={id}
              value={option.value}
              checked={option.value === value}
              onChange={() => {
                onChoice(option.value);
              }}
            />
            <span>{option.words}</span>
          </label>
        ))}
      </div>
      <Complaint id={id} error={error} />
    </fieldset>
  );
}

export type TickFieldProps = { label: string; isOn: boolean; onTick: (isOn: boolean) => void };

export function TickField({ label, isOn, onTick }: TickFieldProps): JSX.Element {
  return (
    <label class="pg-choice pg-tick">
      <input
        type="checkbox"
        checked={isOn}
        onChange={(event) => {
          onTick(event.currentTarget.checked);
        }}
      />
      <span>{label}</span>
    </label>
  );
}
