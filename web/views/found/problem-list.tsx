import type { JSX } from 'preact';
import type { MappingProblem } from '../../../server/contract/mapping-problems.ts';
import { counted } from '../../words.ts';

/** Everything that is wrong, each with its place in the document. */
export function ProblemList({ problems }: { problems: readonly MappingProblem[] }): JSX.Element {
  return (
    <div role="alert">
      {problems.length === 0 ? null : (
        <div class="pg-trouble">
          <p>{counted(problems.length, 'thing')} to put right. Nothing you typed is lost.</p>
          <ul class="fd-problems">
            {problems.map(({ path, message }) => (
              <li key={`${path} ${message}`}>
                {path === '' ? null : <code>{path}</code>} {message}
              </li>
            ))}
          </ul>
        </div>
      )}
    </div>
  );
}
