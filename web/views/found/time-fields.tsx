import type { JSX } from 'preact';
import { ChoiceField, SelectField, TextField } from '../../form/fields.tsx';
import { othersLike } from './others-like.ts';
import { leavesOf, pointerTo } from './payload-tree.ts';
import type { DraftProps } from './draft-props.ts';
import { TIME_WORDS } from './rule-words.ts';

const ARRIVAL = 'arrival';

/** When the value was measured: on arrival, or by one of the values that look like a time. */
export function TimeFields({ draft, root, set }: DraftProps): JSX.Element | null {
  const like = othersLike(root, draft.at);
  const probes = new Set(like?.keys.map((key) => `${pointerTo(like.parent, key)}${like.below}`));
  const timed = leavesOf(root).filter(
    ({ times, pointer }) => times.length > 0 && pointer !== draft.at && !probes.has(pointer),
  );
  if (draft.format === 'number' || timed.length === 0) return null;
  const { time } = draft;
  const forms = timed.find(({ pointer }) => pointer === time?.at)?.times ?? [];
  return (
    <>
      <ChoiceField
        label="When it was measured"
        value={time?.at ?? ARRIVAL}
        options={[
          { value: ARRIVAL, words: 'When it arrives' },
          ...timed.map(({ pointer, text }) => ({ value: pointer, words: `${pointer}: ${text}` })),
        ]}
        onChoice={(at) => {
          const as = timed.find(({ pointer }) => pointer === at)?.times[0];
          set({ time: as === undefined ? null : { at, as, zone: ownZone() } });
        }}
      />
      {time === null ? null : (
        <SelectField
          label="How that time is written"
          value={time.as}
          options={forms.map((value) => ({ value, words: TIME_WORDS[value] }))}
          onChoice={(as) => set({ time: { ...time, as } })}
        />
      )}
      {time?.as === 'local' ? (
        <TextField
          label="Whose clock"
          hint="An IANA time zone such as Europe/London"
          value={time.zone}
          onText={(zone) => set({ time: { ...time, zone } })}
        />
      ) : null}
    </>
  );
}

function ownZone(): string {
  return Intl.DateTimeFormat().resolvedOptions().timeZone;
}
