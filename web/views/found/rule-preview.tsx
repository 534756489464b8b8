import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { MappingDocument } from '../../../server/contract/mapping.ts';
import type { MappingProblem } from '../../../server/contract/mapping-problems.ts';
import { parseMapping } from '../../../server/contract/mapping-problems.ts';
import { Glyph } from '../../glyph.tsx';
import { tryMapping } from './mapping-data.ts';
import type { Payload, Tried } from './mapping-data.ts';
import { ProblemList } from './problem-list.tsx';
import { withRule } from './rule-draft.ts';
import type { RuleDocument } from './rule-draft.ts';
import { triedLines } from './rule-words.ts';

const TRY_AFTER_MS = 250;

export type Trial = {
  /** The mapping with the rule in it, at the place where it is used. */
  document: MappingDocument;
  tried: Tried | null;
};

async function tryRule(
  mapping: MappingDocument,
  rule: RuleDocument,
  message: { topic: string; payload: Payload },
): Promise<Trial> {
  const document = withRule(mapping, rule);
  const parsed = parseMapping(document);
  if (!parsed.ok) return { document, tried: { ok: false, problems: parsed.problems } };
  return { document, tried: await tryMapping(message.topic, message.payload, document) };
}

type TrialSetup = { mapping: MappingDocument; rule: RuleDocument; topic: string; payload: Payload };

/** The trial of a rule, made afresh a moment after each change. */
export function useTrial({ mapping, rule, topic, payload }: TrialSetup): Trial {
  const [trial, setTrial] = useState<Trial>({ document: withRule(mapping, rule), tried: null });
  const key = JSON.stringify([mapping, rule, topic, payload]);
  useEffect(() => {
    let isHere = true;
    const timer = setTimeout(() => {
      void tryRule(mapping, rule, { topic, payload }).then((next) => {
        if (isHere) setTrial(next);
      });
    }, TRY_AFTER_MS);
    return () => {
      isHere = false;
      clearTimeout(timer);
    };
  }, [key]);
  return trial;
}

type PreviewProps = {
  trial: Trial;
  rule: RuleDocument;
  timeZone: string;
  /** What the rule takes from others, and what it leaves unread. */
  warnings: readonly string[];
  saveProblems: readonly MappingProblem[];
};

/** What the message would read by this rule, and the rule itself. */
export function RulePreview({ trial, rule, timeZone, warnings, saveProblems }: PreviewProps): JSX.Element {
  const { tried } = trial;
  const lines = tried?.ok === true ? triedLines(tried.value, timeZone) : [];
  return (
    <>
      <div class="fd-trial" role="status">
        <p>This message would read:</p>
        {tried === null ? <p>trying it</p> : null}
        {tried?.ok === true && lines.length === 0 ? <p>nothing at all</p> : null}
        {lines.map((line) => (
          <p key={line}>
            <b>{line}</b>
          </p>
        ))}
        {tried?.ok === false ? <p>nothing yet, see below</p> : null}
        {warnings.map((warning) => (
          <p key={warning} class="fd-warning">
            <Glyph name="watch" /> {warning}
          </p>
        ))}
      </div>
      <ProblemList problems={tried?.ok === false ? tried.problems : saveProblems} />
      <details>
        <summary>The rule as it is written</summary>
        <pre class="pg-payload">{JSON.stringify(rule, null, 2)}</pre>
      </details>
    </>
  );
}
