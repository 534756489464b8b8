import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { CookoutDetail, Problem } from '../../../server/contract/api.ts';
import { CorrectionSchema } from '../../../server/contract/probe.ts';
import type { CheckAnswer, CorrectionOffer, SensorView } from '../../../server/contract/probe.ts';
import { api, problemText } from '../../api-client.ts';
import { clockText } from '../../format/clock.ts';
import { Glyph } from '../../glyph.tsx';
import { nowMs } from '../../state.ts';
import { usePress } from '../../use-press.ts';
import { outcomeText } from './check-draft.ts';
import { correctionText } from './probe-lines.ts';
import { probePath } from './probe-path.ts';
import { movePatches, moveProbe, seatKey } from './seat-probe.ts';

export type CheckResultProps = {
  sensor: SensorView;
  answer: CheckAnswer;
  detail: CookoutDetail | null;
  timeZone: string;
  reload: () => Promise<void>;
  onAgain: () => void;
  onClose: () => void;
};

function offerText(offer: CorrectionOffer): string {
  return offer.kind === 'one-point'
    ? `Correct it by ${correctionText(offer)} from now on`
    : `Correct it by both checks: ${correctionText(offer)}`;
}

type OfferProps = {
  offer: CorrectionOffer;
  sensorId: string;
  onAnswer: (problem: Problem | null, fromMs: number) => void;
};

function Offer({ offer, sensorId, onAnswer }: OfferProps): JSX.Element {
  const { isBusy, press } = usePress(async () => {
    const { kind, checkIds } = offer;
    const made = await api('POST', probePath(sensorId, 'corrections'), CorrectionSchema, { kind, checkIds });
    if (made.ok) onAnswer(null, made.value.fromMs);
    else onAnswer(made.problem, Number.NaN);
  });
  return (
    <button type="button" aria-disabled={isBusy} onClick={press}>
      {offerText(offer)}
    </button>
  );
}

function PutAside({ sensor, detail, reload }: CheckResultProps): JSX.Element | null {
  const [problem, setProblem] = useState<Problem | null>(null);
  const from = seatKey(sensor.assignedTo);
  const { isBusy, press } = usePress(async () => {
    if (detail === null) return;
    setProblem(await moveProbe(movePatches(detail, sensor.id, { from, to: '' })));
    await reload();
  });
  if (from === '') return <p>It sits nowhere: nothing is watched with it.</p>;
  if (detail === null) return null;
  return (
    <>
      <div role="alert">{problem === null ? null : <p class="pg-trouble">{problemText(problem)}</p>}</div>
      <button type="button" aria-disabled={isBusy} onClick={press}>
        Do not use this probe: take it out of {sensor.assignedTo?.name}
      </button>
    </>
  );
}

type AgainProps = { beginsMs: number | null; timeZone: string; onAgain: () => void };

/** A check made before a correction begins says nothing of it, so it waits for that minute. */
function AgainButton({ beginsMs, timeZone, onAgain }: AgainProps): JSX.Element {
  const isEarly = beginsMs !== null && nowMs.value > 0 && nowMs.value < beginsMs;
  return (
    <button type="button" disabled={isEarly} onClick={onAgain}>
      {isEarly ? `Check again from ${clockText(beginsMs, timeZone)} on` : 'Check again'}
    </button>
  );
}

/** What came of a check, and what can be done about it. */
export function CheckResult(props: CheckResultProps): JSX.Element {
  const { sensor, answer, timeZone, reload, onAgain, onClose } = props;
  const [corrected, setCorrected] = useState<string | null>(null);
  const [beginsMs, setBeginsMs] = useState<number | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  const hasPassed = answer.check.outcome === 'passed';
  return (
    <section class={hasPassed ? 'pr-result' : 'pr-result pr-failed'} aria-label="What came of the check">
      <h3 ref={heading} tabIndex={-1}>
        <Glyph name={hasPassed ? 'ok' : 'failed'} /> {hasPassed ? 'Passed' : 'Failed'}
      </h3>
      <p>{outcomeText(answer)}</p>
      {answer.beyondCorrecting === null ? null : <p>{answer.beyondCorrecting}</p>}
      <div role="alert">{problem === null ? null : <p class="pg-trouble">{problemText(problem)}</p>}</div>
      <p class="pr-said" role="status">
        {corrected ?? ''}
      </p>
      <div class="pg-acts">
        {corrected === null
          ? answer.offers.map((offer) => (
              <Offer
                key={offer.kind}
                offer={offer}
                sensorId={sensor.id}
                onAnswer={(failed, fromMs) => {
                  setProblem(failed);
                  if (failed !== null) return;
                  setBeginsMs(fromMs);
                  setCorrected(
                    `Corrected by ${correctionText(offer)} from ${clockText(fromMs, timeZone)} on; what was read before stays as it was. Check it once more then: it is believed again when that passes.`,
                  );
                  void reload();
                }}
              />
            ))
          : null}
        {hasPassed ? null : <PutAside {...props} />}
        <AgainButton beginsMs={beginsMs} timeZone={timeZone} onAgain={onAgain} />
        <button type="button" onClick={onClose}>
          Close
        </button>
      </div>
    </section>
  );
}
