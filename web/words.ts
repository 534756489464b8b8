import type { Action, Row, Verb } from '../server/contract/board.ts';
import type { Heat } from '../server/contract/food.ts';
import type { BatchStatus, StepKind } from '../server/contract/steps.ts';
import { limitText } from './format/temperature.ts';

export const VERB_WORDS: Record<Verb, string> = {
  on: 'Put on',
  turn: 'Turn',
  move: 'Move',
  off: 'Take off',
  serve: 'Serve',
  heat: 'Heat',
  check: 'Check',
};

/** What the button of the next action says. */
export const CONFIRM_WORDS: Record<Verb, string> = {
  on: 'Put on',
  turn: 'Done',
  move: 'Done',
  off: 'Taken off',
  serve: 'Served',
  heat: 'Done',
  check: 'Done',
};

export const STEP_WORDS: Record<StepKind, string> = {
  packed: 'Packed',
  on: 'Put on',
  turned: 'Turned',
  moved: 'Moved',
  'lid-opened': 'Lid was open',
  'lid-closed': 'Lid closed',
  off: 'Taken off',
  held: 'Held',
  served: 'Served',
  cooling: 'Cooling',
  chilled: 'Chilled',
  reheating: 'Reheating',
  discarded: 'Thrown away',
};

/** What was recorded, for the undo bar: "Kofta turned". */
const STEP_DONE: Record<StepKind, string> = {
  packed: 'packed',
  on: 'put on',
  turned: 'turned',
  moved: 'moved',
  'lid-opened': 'lid was open',
  'lid-closed': 'lid closed',
  off: 'taken off',
  held: 'held',
  served: 'served',
  cooling: 'cooling',
  chilled: 'chilled',
  reheating: 'reheating',
  discarded: 'thrown away',
};

export const STATUS_WORDS: Record<BatchStatus, string> = {
  planned: 'planned',
  packed: 'packed',
  on: 'on the fire',
  off: 'off the fire',
  held: 'held',
  served: 'served',
  cooling: 'cooling',
  chilled: 'chilled',
  reheating: 'reheating',
  discarded: 'thrown away',
};

export const HEAT_WORDS: Record<Heat, string> = {
  hot: 'Hot',
  medium: 'Medium',
  gentle: 'Gentle',
  indirect: 'Indirect',
};

export const WORDS = {
  back: 'Back',
  beyondTable: 'Readings as table',
  cannotTell: "Can't tell",
  demo: 'Demo data',
  key: 'One mark: we know. Ten marks: we estimate. Hollow: too late to serve.',
  more: 'More',
  noBatches: 'No batches yet',
  noLink: 'No link to the server',
  noLimitBroken: 'No limit broken',
  noPlan: 'Nothing planned',
  noProbes: 'No probes yet. Switch one on',
  nothingDue: 'Nothing due',
  nothingMeasured: 'Nothing measured yet',
  now: 'now',
  allServed: 'All served',
  recordReady: 'Record ready',
  seeIt: 'I see it',
  startPlan: 'Start a plan',
  then: 'then',
  toPlan: 'Plan',
  undo: 'Undo',
  waiting: 'Waiting for the server',
  watchDetail: 'Limits are not being checked. Check by hand.',
  watchTitle: 'Watch has stopped',
} as const;

/** A name inside a sentence: "Kofta" becomes "kofta"; "BBQ ribs" and "Trout bag" of a title keep their letters. */
export function inSentence(name: string): string {
  const second = name.charAt(1);
  const isWord = second !== '' && second === second.toLowerCase();
  return isWord ? name.charAt(0).toLowerCase() + name.slice(1) : name;
}

/** "Turn kofta". */
export function actionText({ verb, short }: Pick<Action, 'verb' | 'short'>): string {
  return `${VERB_WORDS[verb]} ${inSentence(short)}`;
}

export function doneText(name: string, step: StepKind): string {
  return `${name} ${STEP_DONE[step]}`;
}

export function onTimeText(onTimeOf10: number): string {
  return `${onTimeOf10} in 10 on time`;
}

/** "over 8°", "under 63°", "short of 70 °C for 2 min". */
export function brokenText(limit: Row['limit']): string {
  if (limit === null) return 'limit broken';
  switch (limit.kind) {
    case 'max':
      return `over ${limitText(limit.valueC)}`;
    case 'min':
      return `under ${limitText(limit.valueC)}`;
    case 'core':
      return `short of ${limit.text}`;
  }
}

/** What a holding row drifts towards: a cold one warms, a hot one cools. */
export function driftWord(kind: Row['kind']): string {
  return kind === 'hot' ? 'cooling' : 'warming';
}

/** What the unit of a holding time adds: "min cold", "min hot". */
export function holdWord(kind: Row['kind']): string {
  return kind === 'hot' ? 'hot' : 'cold';
}

/** How many things, in words: "1 probe", "2 probes". */
export function counted(count: number, one: string): string {
  return count === 1 ? `1 ${one}` : `${count} ${one}s`;
}
