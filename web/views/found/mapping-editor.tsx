import type { JSX } from 'preact';
import { useId, useState } from 'preact/hooks';
import type { MappingProblem } from '../../../server/contract/mapping-problems.ts';
import { usePress } from '../../use-press.ts';
import { saveMapping } from './mapping-data.ts';
import type { WrittenMapping } from './mapping-data.ts';
import { ProblemList } from './problem-list.tsx';

/** What was typed and not saved; leaving the page loses nothing. */
const kept: { text: string | null; base: string } = { text: null, base: '' };

function parsed(text: string): { ok: true; value: unknown } | { ok: false; problem: MappingProblem } {
  try {
    const value: unknown = JSON.parse(text);
    return { ok: true, value };
  } catch (error) {
    const why = error instanceof Error ? error.message : 'it cannot be read';
    return { ok: false, problem: { path: '', message: `This is no JSON: ${why}` } };
  }
}

type EditorProps = { written: WrittenMapping; onSaved: () => Promise<void> };

/** The whole mapping as text, for what the buttons above cannot say. */
export function MappingEditor({ written, onSaved }: EditorProps): JSX.Element {
  const id = useId();
  const inForce = `${JSON.stringify(written.document, null, 2)}\n`;
  const [typed, setTyped] = useState<string | null>(kept.text);
  const [problems, setProblems] = useState<readonly MappingProblem[]>([]);
  const [isSaved, setSaved] = useState(false);
  const text = typed ?? inForce;
  const isOvertaken = typed !== null && kept.base !== inForce;
  const type = (next: string | null): void => {
    if (typed === null) kept.base = inForce;
    kept.text = next;
    setTyped(next);
    setSaved(false);
  };
  const { isBusy, press } = usePress(async () => {
    const read = parsed(text);
    const wrong = read.ok ? await saveMapping(read.value) : [read.problem];
    setProblems(wrong);
    if (wrong.length > 0) return;
    kept.text = null;
    setTyped(null);
    setSaved(true);
    await onSaved();
  });
  return (
    <section aria-label="All rules as text">
      <h2>All rules as text</h2>
      <p>The first rule whose filter fits a topic is used. {whereKept(written.filePath)}</p>
      {isOvertaken ? (
        <p class="pg-trouble">
          The rules were changed elsewhere since you began to type. Saving puts your text in their place.
        </p>
      ) : null}
      <ProblemList problems={problems} />
      <div class="pg-field">
        <label for={id}>Rules</label>
        <textarea
          id={id}
          class="fd-text"
          spellcheck={false}
          autocomplete="off"
          autocapitalize="off"
          wrap="off"
          rows={16}
          value={text}
          aria-invalid={problems.length > 0 ? 'true' : undefined}
          onInput={(event) => type(event.currentTarget.value)}
        />
      </div>
      <p class="pg-saved" role="status">
        {isSaved ? 'Saved: in force from now on' : ''}
      </p>
      <div class="pg-acts">
        <button type="button" class="pg-main" aria-disabled={isBusy} onClick={press}>
          {isBusy ? 'Saving' : 'Save the rules'}
        </button>
        {typed === null ? null : (
          <button
            type="button"
            onClick={() => {
              setProblems([]);
              type(null);
            }}
          >
            Drop my text
          </button>
        )}
      </div>
    </section>
  );
}

function whereKept(filePath: string | null): string {
  return filePath === null ? 'They have never been saved.' : `They are kept in ${filePath}.`;
}
