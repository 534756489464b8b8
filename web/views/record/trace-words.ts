import type { RecordTrace } from '../../../server/contract/api.ts';
import { clockText } from '../../format/clock.ts';
import { spanText } from '../../format/duration.ts';
import { degText } from '../../format/temperature.ts';
import { unreadMs } from './story.ts';

export function rangeText({ lowestC, highestC }: Pick<RecordTrace, 'lowestC' | 'highestC'>): string {
  if (lowestC === null || highestC === null) return 'no readings';
  return `${degText(lowestC)} to ${degText(highestC)}`;
}

/** Time outside a limit that must not be passed; a core limit is reached or not, which is another question. */
export function outsideText({ limit, outsideMs }: RecordTrace): string {
  if (limit === null) return 'no limit';
  if (limit.kind === 'core') return '';
  if (outsideMs === null) return 'cannot tell';
  return outsideMs === 0 ? 'none' : spanText(outsideMs);
}

export function gapsText(trace: RecordTrace, timeZone: string): string {
  if (trace.points.length === 0) return 'never read';
  if (trace.gaps.length === 0) return 'none';
  const spans = trace.gaps.map(
    ([fromMs, toMs]) => `${clockText(fromMs, timeZone)} to ${clockText(toMs, timeZone)}`,
  );
  return `${spanText(unreadMs(trace))}: ${spans.join(', ')}`;
}

/** The chart in one sentence, for those who cannot see it. */
export function traceSentence(trace: RecordTrace, timeZone: string): string {
  const { name, fromMs, toMs, limit } = trace;
  const span = `${clockText(fromMs, timeZone)} to ${clockText(toMs, timeZone)}`;
  const limitPart = limit === null ? 'No limit.' : `Limit: ${limit.text}.`;
  const outside = outsideText(trace);
  const outsidePart = outside === '' || limit === null ? '' : ` Outside it: ${outside}.`;
  return `${name}, ${span}, ${rangeText(trace)}. ${limitPart}${outsidePart} Without readings: ${gapsText(trace, timeZone)}.`;
}
