import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { CookoutDetail, Problem } from '../../../server/contract/api.ts';
import type { SensorView } from '../../../server/contract/probe.ts';
import { problemText } from '../../api-client.ts';
import { Confirm } from '../../form/form-frame.tsx';
import { Glyph } from '../../glyph.tsx';
import type { GlyphName } from '../../glyph.tsx';
import { navigate } from '../../router.ts';
import { clockNowMs } from '../../state.ts';
import { checkPlan } from './check-list.ts';
import type { CheckItem } from './check-list.ts';
import { change } from './save.ts';

type Group = { kinds: readonly CheckItem['kind'][]; title: string; glyph: GlyphName };

const GROUPS: readonly Group[] = [
  { kinds: ['missing'], title: 'Still open', glyph: 'watch' },
  { kinds: ['odd-serving'], title: 'Look at the times', glyph: 'watch' },
  { kinds: ['no-serving'], title: 'No serving time', glyph: 'watch' },
  { kinds: ['low-target'], title: 'Target below the limit', glyph: 'watch' },
  { kinds: ['no-probe', 'shared-probe'], title: 'No probe of its own', glyph: 'lost' },
  { kinds: ['unchecked-probe'], title: 'Probes that may not be right', glyph: 'unchecked' },
  { kinds: ['no-limit'], title: 'No limit', glyph: 'stall' },
];

function GroupList({ group, items }: { group: Group; items: readonly CheckItem[] }): JSX.Element | null {
  const own = items.filter(({ kind }) => group.kinds.includes(kind));
  if (own.length === 0) return null;
  return (
    <section class="pg-checks">
      <h3>
        <Glyph name={group.glyph} /> {group.title}
      </h3>
      <ul>
        {own.map((item) => (
          <li key={item.id}>
            <a href={item.section === 'probes' ? '#/probes' : `#/plan/${item.section}`}>
              <b>{item.subject}</b> <span>{item.text}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

type CheckSectionProps = { detail: CookoutDetail; sensors: readonly SensorView[] };

export function CheckSection({ detail, sensors }: CheckSectionProps): JSX.Element {
  const [problem, setProblem] = useState<Problem | null>(null);
  const { cookout } = detail;
  const items = checkPlan(detail, sensors, clockNowMs());
  const end = async (): Promise<void> => {
    const answer = await change(`/api/cookouts/${cookout.id}`, { ended: true });
    setProblem(answer);
    if (answer === null) navigate(`/record/${cookout.id}`);
  };
  return (
    <section aria-label="Check">
      <h2>Check before you light the fire</h2>
      <p>
        {items.length === 0
          ? 'Every batch has a probe, a place and a serving time, and every dish has a core limit.'
          : 'Nothing here stops you. It says what Tongside will not know, and where no limit is watched.'}
      </p>
      {GROUPS.map((group) => (
        <GroupList key={group.title} group={group} items={items} />
      ))}
      <div class="pg-ends">
        <h3>When it is over</h3>
        <div role="alert">{problem === null ? null : <p class="pg-trouble">{problemText(problem)}</p>}</div>
        <Confirm
          words="End this cookout"
          question={`End ${cookout.name}? Nothing in it is watched any more. Its record stays.`}
          confirmWords="End it"
          keepWords="Keep watching"
          onConfirm={() => void end()}
        />
      </div>
    </section>
  );
}
