import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { FoundTopic } from '../../../server/contract/probe.ts';
import { problemText } from '../../api-client.ts';
import { PageHead } from '../../page-head.tsx';
import { board } from '../../state.ts';
import { FoundCard } from './found-card.tsx';
import { useFound } from './found-data.ts';
import { withNewFirst } from './found-order.ts';
import { MappingEditor } from './mapping-editor.tsx';
import { forgetTopic, useMapping } from './mapping-data.ts';
import { Rejects } from './rejects.tsx';
import '../../styles/forms.css';
import '../../styles/cards.css';
import '../../styles/found.css';

/** The newest first as they were when they came; a card does not move under a finger because its topic is heard again. */
function useStillOrder(): (topics: readonly FoundTopic[]) => FoundTopic[] {
  const order = useRef<readonly string[]>([]);
  return (topics) => {
    order.current = withNewFirst(order.current, topics);
    return order.current.flatMap((topic) => topics.find((found) => found.topic === topic) ?? []);
  };
}

/** Topics heard but not understood, the way to a rule for each, and all rules as text. */
export function FoundView(): JSX.Element {
  const { answer, reload } = useFound();
  const mapping = useMapping();
  const inOrder = useStillOrder();
  const [said, setSaid] = useState('');
  const timeZone = board.value?.cookout?.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
  const document = mapping.state.kind === 'ready' ? mapping.state.written.document : null;
  const used = async (topic: string): Promise<void> => {
    setSaid(
      `${topic} is understood from now on. Its probes appear on the probes page with the next message.`,
    );
    await Promise.all([forgetTopic(topic), mapping.reload()]);
    await reload();
  };
  return (
    <div class="pg-page">
      <PageHead title="Not understood" />
      <main class="pg-column">
        <p>
          Topics on which something was sent that nobody here reads.{' '}
          <a class="fd-back" href="#/probes">
            Back to the probes
          </a>
        </p>
        <p class="pg-said" role="status">
          {said}
        </p>
        {answer?.ok === false ? (
          <p class="pg-trouble" role="alert">
            {problemText(answer.problem)}
          </p>
        ) : null}
        {answer?.ok === true && answer.value.length === 0 ? (
          <p class="pg-empty">Nothing. Everything heard so far is read.</p>
        ) : null}
        <ul class="pg-cards">
          {answer?.ok === true
            ? inOrder(answer.value).map((found) => (
                <FoundCard
                  key={found.topic}
                  found={found}
                  mapping={document}
                  heard={answer.value}
                  timeZone={timeZone}
                  onUsed={used}
                  onForgotten={reload}
                />
              ))
            : null}
        </ul>
        {mapping.state.kind === 'failed' ? (
          <p class="pg-trouble" role="alert">
            {problemText(mapping.state.problem)}
          </p>
        ) : null}
        {mapping.state.kind === 'ready' ? (
          <MappingEditor written={mapping.state.written} onSaved={mapping.reload} />
        ) : null}
        <Rejects timeZone={timeZone} />
      </main>
    </div>
  );
}
