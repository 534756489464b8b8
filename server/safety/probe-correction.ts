import type {
  Correction,
  CorrectionInput,
  CorrectionOffer,
  ProbeCheck,
  ProbeHistory,
} from '../contract/probe.ts';
import { FUTURE_TOLERANCE_MS } from './samples.ts';

/** OURS: a probe that is further off is thrown away and not corrected. */
const GAIN_AT_LEAST = 0.9;
const GAIN_AT_MOST = 1.1;
const OFFSET_AT_MOST_C = 3;
/** OURS: less than this is not worth a correction, degC. */
const WORTH_C = 0.1;
/** OURS: the ice and the boiling check of a two-point correction are of the same hour. */
const TOGETHER_MS = 3_600_000;
/** OURS: what a probe read longer ago says nothing about how it reads now. */
const FRESH_MS = 24 * 3_600_000;
const MINUTE_MS = 60_000;

type Line = { gain: number; offsetC: number };
export type CorrectionResult = ({ kind: 'allowed' } & Line) | { kind: 'refused'; why: string };

const refused = (why: string): CorrectionResult => ({ kind: 'refused', why });

/**
 * Works a correction out of checks, on what the probe itself read: true = gain * raw + offset. One point moves every reading by
 * what the one check was off; two points put a line through an ice and a boiling check.
 *
 * @param history - all checks and corrections of one probe
 * @param input - what is asked for
 * @param nowMs - epoch ms
 * @returns `refused` with a reason in words where the checks do not carry it, or the probe is too far off
 */
export function correctionFrom(
  history: ProbeHistory,
  input: CorrectionInput,
  nowMs: number,
): CorrectionResult {
  if (input.kind === 'none') return backToBare(history, input);
  const checks = input.checkIds.flatMap((id) => history.checks.find((check) => check.id === id) ?? []);
  if (checks.length !== input.checkIds.length) return refused('there is no such check of this probe');
  if (checks.some((check) => !isNewest(check, history)))
    return refused('a later check of that kind has been made: use that one');
  if (checks.some((check) => !(nowMs - check.atMs <= FRESH_MS)))
    return refused('that check is more than a day old: make it again');
  return input.kind === 'one-point' ? onePoint(checks, history, nowMs) : twoPoint(checks);
}

function backToBare(history: ProbeHistory, { checkIds }: CorrectionInput): CorrectionResult {
  if (checkIds.length > 0) return refused('no check is needed to go back to the bare reading');
  const last = newestOf(history.corrections, ({ fromMs }) => fromMs);
  return last === null || last.kind === 'none'
    ? refused('this probe is not corrected')
    : { kind: 'allowed', gain: 1, offsetC: 0 };
}

function onePoint(checks: readonly ProbeCheck[], history: ProbeHistory, nowMs: number): CorrectionResult {
  const [check, ...more] = checks;
  if (!check || more.length > 0) return refused('one check is needed');
  const line = { gain: 1, offsetC: check.expectedC - check.rawC };
  const other = newestCheck(history, check.kind === 'ice' ? 'boil' : 'ice');
  if (other && nowMs - other.atMs <= FRESH_MS && !fits(line, other)) {
    const name = other.kind === 'ice' ? 'ice' : 'boiling';
    return refused(`it would then be wrong at its ${name} check: correct it by two points`);
  }
  return bounded(line);
}

function twoPoint(checks: readonly ProbeCheck[]): CorrectionResult {
  const ice = checks.find(({ kind }) => kind === 'ice');
  const boil = checks.find(({ kind }) => kind === 'boil');
  if (!ice || !boil || checks.length !== 2) return refused('an ice check and a boiling check are needed');
  if (!(Math.abs(ice.atMs - boil.atMs) <= TOGETHER_MS))
    return refused('the two checks are more than an hour apart: make both again');
  const gain = (boil.expectedC - ice.expectedC) / (boil.rawC - ice.rawC);
  return bounded({ gain, offsetC: ice.expectedC - gain * ice.rawC });
}

/** NaN is outside of every bound. */
function bounded({ gain, offsetC }: Line): CorrectionResult {
  if (!(Math.abs(offsetC) <= OFFSET_AT_MOST_C))
    return refused(`it is off by more than ${OFFSET_AT_MOST_C} °C: do not use this probe`);
  if (!(gain >= GAIN_AT_LEAST && gain <= GAIN_AT_MOST))
    return refused('it goes up and down too much or too little with the heat: do not use this probe');
  return { kind: 'allowed', gain: Number(gain.toFixed(5)), offsetC: Number(offsetC.toFixed(3)) };
}

function fits({ gain, offsetC }: Line, check: ProbeCheck): boolean {
  return Math.abs(gain * check.rawC + offsetC - check.expectedC) <= check.windowC;
}

/**
 * The corrections that may be made after a check, the better one first.
 *
 * @returns `beyondCorrecting`: why there is none although the check failed
 */
export function offersAfter(
  check: ProbeCheck,
  history: ProbeHistory,
  nowMs: number,
): { offers: CorrectionOffer[]; beyondCorrecting: string | null } {
  if (!(Math.abs(check.readC - check.expectedC) >= WORTH_C)) return { offers: [], beyondCorrecting: null };
  const other = newestCheck(history, check.kind === 'ice' ? 'boil' : 'ice');
  const asked: { kind: CorrectionOffer['kind']; checkIds: string[] }[] = [
    ...(other ? [{ kind: 'two-point' as const, checkIds: [check.id, other.id] }] : []),
    { kind: 'one-point', checkIds: [check.id] },
  ];
  const results = asked.map((input) => ({ input, result: correctionFrom(history, input, nowMs) }));
  const offers = results.flatMap(({ input, result }) =>
    result.kind === 'allowed' ? [{ ...input, gain: result.gain, offsetC: result.offsetC }] : [],
  );
  const last = results.at(-1)?.result;
  const why = check.outcome === 'failed' && last?.kind === 'refused' ? last.why : null;
  return { offers, beyondCorrecting: offers.length > 0 ? null : why };
}

/**
 * When a correction that is asked for now begins: at a whole minute after every reading that there may be already, and after
 * any correction that is there, so that nothing that was read is changed.
 *
 * @returns epoch ms
 */
export function beginsMs(corrections: readonly Correction[], nowMs: number): number {
  const nextMinuteMs = (Math.floor((nowMs + FUTURE_TOLERANCE_MS) / MINUTE_MS) + 1) * MINUTE_MS;
  return corrections.reduce((atMs, { fromMs }) => Math.max(atMs, fromMs + MINUTE_MS), nextMinuteMs);
}

function isNewest(check: ProbeCheck, history: ProbeHistory): boolean {
  return newestCheck(history, check.kind)?.id === check.id;
}
function newestCheck({ checks }: ProbeHistory, kind: ProbeCheck['kind']): ProbeCheck | null {
  return newestOf(
    checks.filter((check) => check.kind === kind),
    ({ atMs }) => atMs,
  );
}
function newestOf<T>(all: readonly T[], timeOf: (one: T) => number): T | null {
  return all.reduce<T | null>(
    (best, one) => (best === null || timeOf(one) >= timeOf(best) ? one : best),
    null,
  );
}
